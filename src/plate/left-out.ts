import type { PlateForm } from '../base/survey-document.js';
import { dot } from '../mesh/rigid.js';
import type { CandidatePlane } from './candidate-planes.js';
import type { Relief } from './relief.js';
import { type TopView, topView } from './top-view.js';

interface Looked {
  readonly plane: CandidatePlane;
  readonly view: TopView;
}

/*
 * A wall round the land (common practice, no source): narrow against what it shuts in, and the floor that it shuts in is
 * level and has hollows of its own. A floor without them is that of one large cavity. Pieces may stand on the floor
 * instead, as on a board in a box of clay walls: so deep no cavity of a plate is, and a wall so high may be wider.
 */
const leastStepMm = 1;
const mostRingShare = 0.35;
const leastFloorShare = 0.35;
const leastBoxMm = 12;
const mostBoxRingShare = 0.6;

/** The land inside a dam wall, whose top shuts everything in and would be taken for the land; null where there is none. */
export function landInsideDam<T extends Looked>(best: T, looked: readonly T[]): T | null {
  const inside = best.view.hollowArea;
  if (best.view.raisedArea > inside) return null;
  const floors = looked.filter(({ plane, view }) => {
    const stepMm = best.plane.offset - plane.offset;
    const isBox = stepMm > leastBoxMm;
    return (
      dot(plane.normal, best.plane.normal) > 0.98 &&
      stepMm > leastStepMm &&
      best.view.landArea < (isBox ? mostBoxRingShare : mostRingShare) * inside &&
      view.landArea > leastFloorShare * inside &&
      view.hollowArea + (isBox ? view.raisedArea : 0) > 0
    );
  });
  return floors.sort((a, b) => b.view.landArea - a.view.landArea)[0] ?? null;
}

/** What stands higher or lies lower than this beside the land is something else, mm. */
const besideMm = 1;
const leastBesideMm2 = 20;

/**
 * What was recognised beside the land and is left out, in words; empty where there is nothing.
 * @param isOtherFace whether another face of the mesh is as large and has relief of its own
 */
export function leftOut(relief: Relief, form: PlateForm, isClosed: boolean, isOtherFace = false): string {
  const view = topView(relief, besideMm);
  const stands = form === 'sculpt' ? 0 : view.raisedArea;
  const parts = [
    ...(isClosed ? [isOtherFace ? 'its sides, its back and what is cut into them' : 'its sides and back'] : []),
    ...(stands > leastBesideMm2 ? ['what stands on the land'] : []),
    ...(view.raisedBorderArea > leastBesideMm2 ? ['the wall round it'] : []),
    ...(view.lowBorderArea > leastBesideMm2 ? ['what it lies on'] : []),
  ];
  if (parts.length === 0) return '';
  const last = parts.pop()!;
  return `; left out: ${parts.length > 0 ? `${parts.join(', ')} and ${last}` : last}`;
}
