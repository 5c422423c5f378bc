import { alarmColour, hexColour, rampColour, roundTop } from '../../base/ramp.js';
import type { CavityRecord, SurveyDocument } from '../../base/survey-document.js';
import { type EdgeSettings, tearThicknessMm } from '../../measure/edge-settings.js';
import { el } from '../dom.js';
import type { Colouring } from './shader.js';
import type { Shapes } from './shapes.js';

export const colouringNames: Record<Colouring, string> = {
  thickness: 'thickness',
  depth: 'depth',
  margin: 'tear margin',
  undercut: 'undercut',
};

const explained: Record<Colouring, string> = {
  thickness: 'thickness of the piece, mm',
  depth: 'depth under the scrape surface, mm',
  margin: 'thickness beyond what tears, mm; hatched: tears',
  undercut: 'how far it reaches under the wall, mm; hatched: hidden from above',
};

/** Thickness under which the piece of a cavity tears, mm: as typed, or as the survey judged its edges. */
export function tearOf(typedMm: number | null, cavity: CavityRecord | undefined, edges: EdgeSettings): number {
  const { volumeMm3, stretchPct } = cavity?.undercut ?? { volumeMm3: 0, stretchPct: 0 };
  return typedMm ?? tearThicknessMm(edges, (volumeMm3 ?? 0) > 0 && (stretchPct ?? 0) > 0);
}

/** Values at the two ends of the ramp for a survey, mm. */
export function rangeOf(by: Colouring, survey: SurveyDocument, shapes: Shapes, tearMm: number): [number, number] {
  const most = (values: readonly (number | null | undefined)[]): number => Math.max(0, ...values.map((v) => v ?? 0));
  const { cavities } = survey;
  if (by === 'depth') return [0, roundTop(most(cavities.map(({ depthMm }) => depthMm)))];
  if (by === 'undercut') return [0, roundTop(Math.max(0.5, ...shapes.bodies.map(({ mostHiddenMm }) => mostHiddenMm)))];
  const thickest = roundTop(Math.max(0.5, shapes.thickMm ?? 0));
  return by === 'thickness' ? [0, thickest] : [-tearMm, roundTop(Math.max(3 * tearMm, thickest / 2))];
}

/** Places of round figures on a scale by the square root. */
function rootTicks(to: number): number[] {
  const round = to > 3 ? [0, 0.25, 1, 2, 4, 6] : [0, 0.1, 0.25, 0.5, 1, 2];
  return round.map((value) => Math.sqrt(value / to));
}

/** Places of round figures on an even scale; zero is among them. */
function evenTicks(from: number, to: number): number[] {
  const step = roundTop((to - from) / 5);
  const first = Math.ceil(from / step);
  const count = Math.floor(to / step) - first + 1;
  return Array.from({ length: count }, (_, i) => ((first + i) * step - from) / (to - from));
}

/** The ramp with its figures. */
export function legend(by: Colouring, [from, to]: readonly [number, number], known: boolean): HTMLElement {
  if (!known) return el('p', { class: 'legend' }, 'No thickness was measured in this survey.');
  const stops = Array.from({ length: 9 }, (_, i) => `${hexColour(rampColour(i / 8))} ${(i / 8) * 100}%`);
  const bar = el('div', { class: 'ramp' });
  bar.style.background = `linear-gradient(to right, ${stops.join(', ')})`;
  const zero = by === 'margin' ? -from / (to - from) : 0;
  if (zero > 0) {
    const under = el('i', { class: 'under' });
    under.style.width = `${zero * 100}%`;
    under.style.setProperty('--alarm-stripe', hexColour(alarmColour));
    bar.append(under);
  }
  // Thickness runs on past the end of its scale; the others end with the largest value there is.
  const open = by === 'thickness' || by === 'margin' ? '+' : '';
  const shares = by === 'thickness' ? rootTicks(to) : evenTicks(from, to);
  const figure = (share: number): string => {
    const value = by === 'thickness' ? share * share * to : from + share * (to - from);
    return String(Number(value.toFixed(2)));
  };
  const ticks = [...shares.filter((share) => share < 0.88), 1].map((share) => {
    const tick = el('span', {}, share === 1 ? `${Number(to.toPrecision(3))}${open}` : figure(share));
    tick.style.left = `${share * 100}%`;
    return tick;
  });
  return el(
    'div',
    { class: 'legend', role: 'img', 'aria-label': `${explained[by]}: dark ${figure(0)} to pale ${to}` },
    bar,
    el('div', { class: 'ticks' }, ticks),
    el('p', {}, explained[by]),
  );
}
