import type { SurveyDocument } from '../base/survey-document.js';
import { type Html, html, shortName } from './html.js';
import { inPlan, type Plan, type PlanShape, type PlanView, planOf } from './plan-shapes.js';

const titles: Record<PlanView, { title: string; text: string }> = {
  mould: { title: 'In the mould', text: 'as you look down into it' },
  board: { title: 'On the board', text: 'pieces face up, mirrored' },
};

export interface PlanLabel {
  readonly x: number;
  readonly y: number;
  /** Where a line leads to, for a number that stands beside its cavity. */
  readonly to?: readonly [number, number];
}

const overlaps = (a: readonly number[], b: readonly number[]): boolean =>
  a[0]! < b[2]! && b[0]! < a[2]! && a[1]! < b[3]! && b[1]! < a[3]!;

/**
 * Where a number of the given height stands: inside its cavity, or, where that is too small, on the free land beside it.
 */
export function placeLabel(shape: PlanShape, plan: Plan, high: number): PlanLabel {
  const half = [(String(shape.number).length * 0.62 * high) / 2, high * 0.42] as const;
  if (shape.room >= Math.hypot(...half) * 0.85) return { x: shape.centre[0], y: shape.centre[1] };
  const [xMin, yMin, xMax, yMax] = shape.box;
  const into = Math.min(shape.room, high * 0.3);
  const gap = high * 0.25;
  // Each spot with the place inside the cavity that its line leads to.
  const spots: [number, number, number, number][] = [
    [xMax + gap + half[0], shape.centre[1], xMax - into, shape.centre[1]],
    [xMin - gap - half[0], shape.centre[1], xMin + into, shape.centre[1]],
    [shape.centre[0], yMin - gap - half[1], shape.centre[0], yMin + into],
    [shape.centre[0], yMax + gap + half[1], shape.centre[0], yMax - into],
  ];
  const free = spots.find(([x, y]) => {
    const box = [x - half[0], y - half[1], x + half[0], y + half[1]];
    const onPlate = box[0]! >= 0 && box[1]! >= 0 && box[2]! <= plan.widthMm && box[3]! <= plan.heightMm;
    return onPlate && plan.shapes.every((other) => other === shape || !overlaps(box, other.box));
  });
  return free === undefined
    ? { x: shape.centre[0], y: shape.centre[1] }
    : { x: free[0], y: free[1], to: [free[2], free[3]] };
}

/**
 * One plan as a figure. Cavities are white in a grey plate; cast pieces are grey on a white board, so that the two views
 * are not taken for each other.
 * @param printedMm width the plan will have on paper, so that numbers come out 5 mm high at least
 */
export function planFigure(document: SurveyDocument, view: PlanView, printedMm: number): Html {
  const plan = planOf(document, view);
  const perMm = plan.widthMm / printedMm;
  const high = 6 * perMm;
  const line = 0.35 * perMm;
  const cast = view === 'board';
  const labels = plan.shapes.map((shape) => ({ shape, ...placeLabel(shape, plan, high) }));
  const margin = 2 * line;
  // Pieces are lifted in the mould, so that is where the marks are.
  const lifts = document.cavities.flatMap(({ liftPointMm }, i) =>
    cast || liftPointMm === null ? [] : [inPlan(plan.shapes[i]!, liftPointMm)],
  );
  const [half, tall] = [1.5 * perMm, 2.4 * perMm];
  return html`<figure class="plan plan-${view}">
<figcaption><b>${titles[view].title}</b> ${titles[view].text}</figcaption>
<svg viewBox="${-margin} ${-margin} ${plan.widthMm + 2 * margin} ${plan.heightMm + 2 * margin}" role="img" aria-label="Plan, ${titles[view].text}">
${plan.hasPlate && html`<rect width="${plan.widthMm}" height="${plan.heightMm}" rx="${line}" fill="${cast ? '#fff' : '#e4e4e4'}" stroke="#000" stroke-width="${line}" ${cast ? html`stroke-dasharray="${4 * line} ${3 * line}"` : ''}/>`}
${plan.shapes.map(
  (shape) =>
    html`<path d="${shape.path}" fill="${cast ? '#d2d2d2' : '#fff'}" fill-rule="evenodd" stroke="#000" stroke-width="${1.4 * line}" ${shape.measured ? '' : html`stroke-dasharray="${3 * line} ${3 * line}"`}/>`,
)}
${labels.map(({ shape, x, y, to }) => [
  to !== undefined && html`<path d="M${x} ${y}L${to[0]} ${to[1]}" stroke="#000" stroke-width="${line}"/>`,
  html`<text x="${x}" y="${y}" font-size="${high}" font-weight="700" text-anchor="middle" dominant-baseline="central" stroke="${to === undefined ? (cast ? '#d2d2d2' : '#fff') : cast ? '#fff' : '#e4e4e4'}" stroke-width="${high * 0.22}" paint-order="stroke" stroke-linejoin="round">${shape.number}<title>${shortName(shape.name, 60)}</title></text>`,
])}
${lifts.map(([x, y]) => html`<path d="M${x} ${y}L${x - half} ${y - tall}H${x + half}Z" stroke="#fff" stroke-width="${line}"/>`)}
</svg>
${lifts.length > 0 && html`<small>▼ start lifting here</small>`}
</figure>`;
}

/** Both plans of a plate, side by side. */
export function planFigures(document: SurveyDocument): Html {
  return html`<div class="plans">${planFigure(document, 'mould', 86)}${planFigure(document, 'board', 86)}</div>`;
}
