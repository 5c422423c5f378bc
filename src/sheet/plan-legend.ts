import { alarmColour, rampColour } from '../base/ramp.js';
import { fixed } from './figures.js';
import { ink, type PictureMark, paper } from './picture.js';

const label = (value: number): string => fixed(value, Number.isInteger(value) ? 0 : value < 1 ? 2 : 1);

function ringPoints(x: number, y: number, r: number, count: number, turn = 0): number[] {
  return Array.from({ length: count }, (_, i) => {
    const angle = turn + (2 * Math.PI * i) / count;
    return [x + r * Math.sin(angle), y - r * Math.cos(angle)];
  }).flat();
}

export type Sign = 'thin' | 'air' | 'lift';
const signTexts: Record<Sign, string> = { thin: 'thin', air: 'air stays', lift: 'lift here' };

/** Signs told apart by shape: a filled triangle, a ring, an arrow head turned down. */
export function sign(kind: Sign, x: number, y: number): PictureMark[] {
  if (kind === 'air') {
    const ring = ringPoints(x, y, 1.4, 20);
    return [
      { kind: 'line', points: ring, closed: true, widthMm: 0.9, colour: paper },
      { kind: 'line', points: ring, closed: true, widthMm: 0.4, colour: ink },
    ];
  }
  const turn = kind === 'thin' ? 0 : Math.PI;
  return [
    { kind: 'area', points: ringPoints(x, y, 2.1, 3, turn), fill: paper },
    { kind: 'area', points: ringPoints(x, y, 1.5, 3, turn), fill: kind === 'thin' ? alarmColour : ink },
  ];
}

export interface PlanLegend {
  readonly what: string;
  readonly top: number;
  readonly more: boolean;
  readonly signs: ReadonlySet<Sign>;
  readonly hidden: boolean;
}

/**
 * What the colours and signs of a plan mean, and a bar of known length.
 * @param top the figure at the palest colour; `more`: there is wall with a larger one
 */
export function planLegend(
  { what, top, more, signs, hidden }: PlanLegend,
  [x, y]: readonly [number, number],
): PictureMark[] {
  const [long, high] = [50, 4];
  const steps = 50;
  const text = (at: readonly [number, number], words: string, anchor: 'start' | 'middle' = 'start'): PictureMark => ({
    kind: 'text',
    at,
    text: words,
    highMm: 2.4,
    anchor,
    colour: ink,
  });
  const marks: PictureMark[] = Array.from({ length: steps }, (_, i) => ({
    kind: 'rect',
    // A little into the next, or hairlines show between them.
    box: [x + (i * long) / steps, y, Math.min(long / steps + 0.3, long - (i * long) / steps), high],
    fill: rampColour((i + 0.5) / steps),
  }));
  marks.push({
    kind: 'line',
    points: [x, y, x + long, y, x + long, y + high, x, y + high],
    closed: true,
    widthMm: 0.25,
    colour: ink,
  });
  for (const share of [0, 0.5, 1]) {
    const at = x + share * long;
    marks.push({ kind: 'line', points: [at, y + high, at, y + high + 1], widthMm: 0.25, colour: ink });
    const value = share * top;
    marks.push(
      text([at, y + high + 4], `${label(value)}${more && share === 1 ? '+' : ''}`, share === 0 ? 'start' : 'middle'),
    );
  }
  marks.push(text([x, y + high + 9], `${what} mm`));
  let column = x + long + 8;
  for (const kind of signs) {
    marks.push(...sign(kind, column, y + 2), text([column + 3, y + 3.2], signTexts[kind]));
    column += 8 + 2.1 * signTexts[kind].length;
  }
  if (hidden) marks.push(text([x + long + 8, y + high + 9], 'hatched  hidden from above'));
  // A bar of known length, so that a print can be checked with a ruler.
  const bar = [x + long + 8, y + high + 2.5] as const;
  marks.push({ kind: 'line', points: [bar[0], bar[1], bar[0] + 20, bar[1]], widthMm: 0.8, colour: ink });
  marks.push(text([bar[0] + 22, bar[1] + 1.2], '20 mm'));
  return marks;
}
