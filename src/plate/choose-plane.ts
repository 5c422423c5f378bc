import type { PlateForm } from '../base/survey-document.js';
import { coherenceOf } from '../mesh/coherence.js';
import type { LargeFaces } from '../mesh/face-sums.js';
import { dot } from '../mesh/rigid.js';
import { sizeableShells } from '../mesh/shells.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import { candidatePlanes } from './candidate-planes.js';
import { hasCarrier } from './carrier.js';
import { noCavities, noPlate } from './faults.js';
import { landInsideDam, leftOut } from './left-out.js';
import { type FittedPlane, refinePlane } from './refine-plane.js';
import { type Relief, reliefOver } from './relief.js';
import { type SurfaceSample, vectorAndArea } from './surface-sample.js';
import { type TopView, topView } from './top-view.js';

/** Least share of the surface that a land must have. */
const leastLandShare = 0.03;

/** The plane of the land, and what the mesh is. */
interface PlaneChoice {
  plane: FittedPlane;
  view: TopView;
  relief: Relief;
  form: PlateForm;
  reason: string;
}

type Choice = PlaneChoice | { form: 'pieces'; reason: string };

/**
 * Which of a mesh's flat faces is the land, and which form the mesh has.
 * @param asked the form, where a person has said it
 * @throws Fault `no-plate`, `no-cavities`
 */
export function choosePlane(mesh: TriangleMesh, sample: SurfaceSample, tolerance: number, asked?: PlateForm): Choice {
  if (asked === 'pieces') return { form: 'pieces', reason: 'read as pieces, as asked' };
  const isLoose = () =>
    asked === undefined && !coherenceOf(mesh).isOneShell && (isClosed(sample) || isMostlyClosed(mesh));
  try {
    const choice = choosePlate(mesh, sample, tolerance, asked);
    if (!isLoose() || hasCarrier(mesh, choice.plane)) return choice;
  } catch (error) {
    if (!isLoose()) throw error;
  }
  return { form: 'pieces', reason: 'loose closed bodies without a board: each flat back is an opening' };
}

function choosePlate(mesh: TriangleMesh, sample: SurfaceSample, tolerance: number, asked?: PlateForm): PlaneChoice {
  const planes = candidatePlanes(sample, tolerance, 8, leastLandShare)
    .map((plane) => refinePlane(plane, sample, tolerance))
    .filter((plane) => plane.share >= leastLandShare);
  if (planes.length === 0) throw noPlate();
  const largest = Math.max(...planes.map((plane) => plane.share));
  const relief = (view: TopView) => view.hollowArea + view.raisedArea;
  const looked = lookOn(mesh, sample.large, planes);
  // The land shuts its hollows in; the back and the sides of a block show nothing but themselves.
  const shown = ({ view }: { view: TopView }) => (relief(view) > 0 ? view.landArea + relief(view) : 0);
  const most = Math.max(...looked.map(shown));
  // A back with a label or pockets cut into it shows as much as the land does. A label has little area, pockets are few:
  // of such faces the land is the one with more relief in more places (common practice, no source).
  let best = largestBy(
    looked.filter((look) => shown(look) > 0.9 * most),
    ({ view }) => relief(view) * view.patches,
  );
  if (best !== undefined) {
    // Candidates of one land show the same to a few cells: the one that lies on it most closely is the land.
    const face = best;
    const alike = looked.filter(
      (look) =>
        isSameWay(look.plane, face.plane) &&
        shown(look) > 0.98 * shown(face) &&
        relief(look.view) > 0.5 * relief(face.view),
    );
    best = largestBy(alike, ({ plane }) => -plane.sigma) ?? best;
  }
  if (best === undefined || relief(best.view) === 0) {
    best = largestBy(looked, ({ view }) => Math.min(view.lowBorderArea, view.landArea));
    if (best === undefined || best.view.lowBorderArea === 0 || best.plane.share < 0.1) {
      throw largest > 0.15 ? noCavities() : noPlate();
    }
  }
  best = landInsideDam(best, looked) ?? plateauOn(best, looked) ?? best;
  const { view } = best;
  const closed = isClosed(sample);
  const raised = view.raisedArea > view.hollowArea;
  const form: PlateForm = asked ?? (raised ? 'sculpt' : closed ? 'mould' : 'scan');
  const reason =
    asked !== undefined
      ? `read as ${asked}, as asked`
      : raised
        ? 'pieces stand on a board: read as a sculpt and turned face down'
        : closed
          ? 'a closed block with hollows in one face: read as a mould'
          : 'an open surface with hollows: read as a scan of the plate';
  const seen = best.relief.isFine ? best.relief : reliefOver(mesh, sample.large, best.plane);
  const land = best.plane;
  const isOtherFace = looked.some((look) => !isSameWay(look.plane, land) && shown(look) > 0.9 * most);
  return { ...best, form, reason: reason + leftOut(seen, form, closed, isOtherFace) };
}

function isSameWay(a: FittedPlane, b: FittedPlane): boolean {
  return dot(a.normal, b.normal) > 0.98;
}

/** A block on a table: the table is the larger plane, but the block's top stands level above it and holds hollows. */
function plateauOn<T extends { plane: FittedPlane; view: TopView }>(table: T, looked: readonly T[]): T | undefined {
  if (table.view.raisedArea + table.view.raisedBorderArea <= table.view.hollowArea) return undefined;
  return looked.find(
    ({ plane, view }) =>
      dot(plane.normal, table.plane.normal) > 0.98 &&
      plane.offset - table.plane.offset > 1 &&
      // Flat tops of pieces that happen to lie near one plane lie on it loosely, and hold no hollows to speak of.
      (view.hollowArea > view.raisedArea || plane.sigma < 3 * table.plane.sigma + 0.1) &&
      view.hollowArea > 0 &&
      view.landArea > 0.25 * (table.view.raisedArea + table.view.raisedBorderArea),
  );
}

/** A plane that shows less than this share of what another shows in a coarse view is no land: the side of a block, say. */
const leastShown = 0.2;

/** Views of a large mesh cost time: a coarse one of every plane tells which ones are worth a fine one. */
function lookOn(mesh: TriangleMesh, large: LargeFaces, planes: readonly FittedPlane[]) {
  const look = (plane: FittedPlane, size?: number) => {
    const relief = reliefOver(mesh, large, plane, size);
    return { plane, relief, view: topView(relief, Math.max(reliefMm, 3 * plane.sigma)) };
  };
  const shown = ({ view }: { view: TopView }) => view.landArea + view.hollowArea + view.raisedArea;
  const coarse = planes.map((plane) => look(plane, 80));
  const most = Math.max(...coarse.map(shown));
  // A plane that its points lie on far more loosely than on a higher one that faces the same way and shows more is a slope
  // inside the other's hollows.
  const isSlope = (seen: (typeof coarse)[number]) =>
    coarse.some(
      (other) =>
        isSameWay(other.plane, seen.plane) &&
        other.plane.offset > seen.plane.offset &&
        3 * other.plane.sigma + 0.05 < seen.plane.sigma &&
        shown(other) > shown(seen),
    );
  const looked = coarse.map((seen) => (shown(seen) >= leastShown * most && !isSlope(seen) ? look(seen.plane) : seen));
  const isPlain = looked.every(({ view }) => view.hollowArea + view.raisedArea === 0);
  return isPlain ? planes.map((plane) => look(plane)) : looked;
}

/** Relief under this is not told from a plane when the land is looked for, mm. */
const reliefMm = 0.12;

function largestBy<T>(items: readonly T[], value: (item: T) => number): T | undefined {
  let best: T | undefined;
  for (const item of items) if (best === undefined || value(item) > value(best)) best = item;
  return best;
}

/** Loose bodies of which a few are open, as where a hole was too wide to be filled. */
function isMostlyClosed(mesh: TriangleMesh): boolean {
  let [closed, all] = [0, 0];
  for (const own of sizeableShells(mesh)) {
    const { openArea, totalArea } = vectorAndArea(mesh, own);
    all += totalArea;
    if (isClosed({ openArea, totalArea })) closed += totalArea;
  }
  return closed > 0.5 * all;
}

/** The vector areas of a closed surface add to nothing; those of an open one add to its opening. */
function isClosed({ openArea, totalArea }: Pick<SurfaceSample, 'openArea' | 'totalArea'>): boolean {
  return openArea < 1e-3 * totalArea;
}
