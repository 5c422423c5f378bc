import { rampColour, roundTop } from '../base/ramp.js';
import type { SurveyDocument } from '../base/survey-document.js';
import { shortName } from './html.js';
import { type Colour, ink, type Picture, type PictureMark, paper } from './picture.js';
import { planLegend, type Sign, sign } from './plan-legend.js';
import { inPlan, type Plan, type PlanShape, planOf } from './plan-shapes.js';
import { placeLabel } from './run-sheet-plan.js';
import { type ViewedWall, viewWalls, type WallView } from './wall-view.js';

/** The wall of one cavity in the plate frame, by the cavity's number. */
export interface PictureWall {
  readonly number: number;
  /** x, y, z per vertex, mm. */
  readonly positions: ArrayLike<number>;
  /** Three vertex indices per face. */
  readonly triangles: ArrayLike<number>;
  /** Thickness per face; where one wall has none, the picture shows depths. */
  readonly thicknessMm?: ArrayLike<number> | undefined;
}

const landGrey: Colour = [222, 222, 222];
const marginMm = 5;
const legendMm = 17;

/** Pixels per mm that keep the longer side of a plate near 1600 pixels. */
export function picturePixelsPerMm(document: SurveyDocument): number {
  const { widthMm, heightMm } = planOf(document, 'mould');
  return Math.min(10, Math.max(1, Math.round(1600 / Math.max(widthMm, heightMm))));
}

/** The value under which `share` of the pixels inside the rims lie. */
function quantile({ values, inside }: WallView, share: number): number {
  const seen = values.filter((value, i) => inside[i] === 1 && !Number.isNaN(value)).sort();
  return seen[Math.min(seen.length - 1, Math.floor(share * seen.length))] ?? 0;
}

/** Wall beyond the rims, which the land hides; the pixels next to a rim are left to the rim's own line. */
function hiddenWall({ values, inside, width }: WallView): Uint8Array {
  const around = [-width - 1, -width, -width + 1, -1, 1, width - 1, width, width + 1];
  return inside.map((one, i) =>
    one === 0 && !Number.isNaN(values[i]!) && around.every((step) => inside[i + step] !== 1) ? 1 : 0,
  );
}

/** The view as colours: by the ramp inside the rims, hatched where wall lies hidden beyond them. */
function colours(view: WallView, top: number, hidden: Uint8Array): Uint8Array {
  const { values, inside, width, pixelsPerMm } = view;
  const rgba = new Uint8Array(4 * values.length);
  const period = Math.max(4, Math.round(1.5 * pixelsPerMm));
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (inside[i] === 1) rgba.set([...rampColour(Number.isNaN(value) ? 0 : value / top), 255], 4 * i);
    else if (hidden[i] === 1) {
      const onLine = ((i % width) + Math.floor(i / width)) % period < period / 3;
      rgba.set(onLine ? [...ink, 255] : [...paper, 255], 4 * i);
    }
  }
  return rgba;
}

function numberMarks(shape: PlanShape, plan: Plan): PictureMark[] {
  const highMm = 3.6;
  const { x, y, to } = placeLabel(shape, plan, highMm / 0.72);
  // The line starts beside the number, not behind it.
  const clear = to && (0.45 * highMm * String(shape.number).length + 0.6) / Math.hypot(to[0] - x, to[1] - y);
  const leader =
    to && clear !== undefined && clear < 1
      ? [x + (to[0] - x) * clear, y + (to[1] - y) * clear, ...to].map((value) => value + marginMm)
      : undefined;
  const at = [x + marginMm, y + marginMm + highMm / 2] as const;
  return [
    ...(leader ? [{ kind: 'line', points: leader, widthMm: 0.25, colour: ink } as const] : []),
    {
      kind: 'text',
      at,
      text: String(shape.number),
      highMm,
      anchor: 'middle',
      colour: ink,
      halo: to ? landGrey : paper,
    },
  ];
}

function watchMarks(
  document: SurveyDocument,
  shapes: readonly PlanShape[],
): { marks: PictureMark[]; signs: Set<Sign> } {
  const signs = new Set<Sign>();
  // Every feather is thin somewhere; what is marked is what a finding says of it.
  const thin = document.findings.filter(({ code, atMm }) => atMm && (code === 'thin-edge' || code === 'thin-inside'));
  const marks = document.cavities.flatMap((cavity, i): PictureMark[] => {
    const put = (kind: Sign, at: readonly [number, number, ...number[]]): PictureMark[] => {
      signs.add(kind);
      const [x, y] = inPlan(shapes[i]!, at);
      return sign(kind, x + marginMm, y + marginMm);
    };
    return [
      ...thin.flatMap((found) => (found.cavity === cavity.number ? put('thin', found.atMm!) : [])),
      ...(cavity.airTraps ?? []).flatMap((trap) => put('air', trap.atMm)),
      ...(cavity.liftPointMm === null ? [] : put('lift', cavity.liftPointMm)),
    ];
  });
  return { marks, signs };
}

/**
 * The plan of a plate as one looks down into the mould, coloured by thickness (by depth where no thickness was
 * measured), with the numbers of its cavities and the places to watch.
 */
export function planPicture(document: SurveyDocument, walls: readonly PictureWall[]): Picture {
  const plan = planOf(document, 'mould');
  const byThickness = walls.length > 0 && walls.every((wall) => wall.thicknessMm !== undefined);
  const rimsOf = (shape: PlanShape, index: number): number[][] =>
    (document.cavities[index]!.rimMm ?? []).map((loop) =>
      loop.map((value, i) => (i % 2 === 0 ? shape.flip * value + shape.shift[0] : shape.shift[1] - value)),
    );
  const rims = plan.shapes.map(rimsOf);
  const viewed = walls.flatMap((wall): ViewedWall[] => {
    const index = plan.shapes.findIndex((shape) => shape.number === wall.number);
    if (index < 0) return [];
    const { flip, shift } = plan.shapes[index]!;
    const { positions, triangles, thicknessMm } = wall;
    const perFace = byThickness && thicknessMm !== undefined ? { perFace: thicknessMm } : {};
    return [{ positions, triangles, flip, shift, rims: rims[index]!, ...perFace }];
  });
  const view = viewWalls(viewed, plan.widthMm, plan.heightMm, picturePixelsPerMm(document));
  // The edges are what one looks for: the scale ends where most of the wall does, and one thick piece does not stretch it.
  const most = quantile(view, 1);
  const top = roundTop(Math.min(most, 1.2 * quantile(view, 0.85)));
  const hidden = hiddenWall(view);
  const { marks, signs } = watchMarks(document, plan.shapes);
  const what = byThickness ? 'thickness' : 'depth';
  const widthMm = Math.max(plan.widthMm, 118) + 2 * marginMm;
  const heightMm = plan.heightMm + 2 * marginMm + legendMm;
  const at = [marginMm, marginMm] as const;
  const outline = [0, 0, plan.widthMm, 0, plan.widthMm, plan.heightMm, 0, plan.heightMm].map(
    (value) => value + marginMm,
  );
  return {
    widthMm,
    heightMm,
    title: `Plan of ${document.source.file}, seen in the mould, coloured by ${what}`,
    marks: [
      { kind: 'rect', box: [0, 0, widthMm, heightMm], fill: paper },
      ...(plan.hasPlate
        ? [
            { kind: 'rect', box: [...at, plan.widthMm, plan.heightMm], fill: landGrey } as const,
            { kind: 'line', points: outline, closed: true, widthMm: 0.3, colour: ink } as const,
          ]
        : []),
      {
        kind: 'pixels',
        at,
        width: view.width,
        height: view.height,
        pixelsPerMm: view.pixelsPerMm,
        rgba: colours(view, top, hidden),
      },
      ...rims.flat().map(
        (loop): PictureMark => ({
          kind: 'line',
          points: loop.map((value) => value + marginMm),
          closed: true,
          widthMm: 0.3,
          colour: ink,
        }),
      ),
      ...plan.shapes.flatMap((shape) => numberMarks(shape, plan)),
      ...marks,
      ...planLegend({ what, top, more: most > top, signs, hidden: hidden.includes(1) }, [
        marginMm,
        plan.heightMm + 2 * marginMm,
      ]),
    ],
  };
}

/**
 * One cavity by itself, coloured by thickness, at 1:1: to print and lay beside the piece. Its colours end at its own
 * thickest places.
 */
export function cavityPicture(document: SurveyDocument, wall: PictureWall): Picture {
  const cavity = document.cavities.find(({ number }) => number === wall.number)!;
  const findings = document.findings.filter((found) => found.cavity === wall.number);
  // A plate of loose pieces is drawn without its land: here it has one.
  const alone: SurveyDocument = {
    ...document,
    plate: { ...document.plate, form: 'pieces' },
    cavities: [cavity],
    findings,
  };
  const title = `Cavity ${wall.number} (${shortName(cavity.name, 60)}) of ${document.source.file}, seen in the mould, thickness at 1:1`;
  return { ...planPicture(alone, [wall]), title };
}
