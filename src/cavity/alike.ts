import { type FillShape, turnedShape } from './fill-shape.js';

/** What tells one cavity from another, apart from its place. What is not known is missing or null. */
export interface Likeness {
  readonly volumeMm3?: number | null | undefined;
  readonly openingAreaMm2?: number | null | undefined;
  readonly depthMm?: number | null | undefined;
  readonly shapeMm?: FillShape | null | undefined;
}

/*
 * How far two surveys of the same cavity may differ (one standard deviation, common practice, no source): a mould that
 * was cast anew, scanned with a noise of 0.05 mm. The rim of a feathered edge moves by a millimetre and more, so the
 * opening counts least. Measured with a noise of 0.02 mm across the demo: volume 0.8 %, opening 7 %, depth 0.02 mm,
 * spread 0.05 mm.
 */
const volumeShare = 0.03;
const openingSigma = (area: number) => 0.03 * area + 1.5 * Math.sqrt(area);
const depthSigma = (depth: number) => 0.1 + 0.03 * depth;
const spreadSigma = (r: number) => 0.15 + 0.01 * r;

/** Squared differences of volume, opening and depth in standard deviations, added; 0 where nothing is known. */
export function measureDifference(a: Likeness, b: Likeness): number {
  let sum = 0;
  if (a.volumeMm3 && b.volumeMm3) sum += (Math.log(a.volumeMm3 / b.volumeMm3) / volumeShare) ** 2;
  const [areaA, areaB] = [a.openingAreaMm2, b.openingAreaMm2];
  if (areaA && areaB) sum += ((areaA - areaB) / openingSigma(Math.max(areaA, areaB))) ** 2;
  const [depthA, depthB] = [a.depthMm, b.depthMm];
  if (depthA && depthB) sum += ((depthA - depthB) / depthSigma(Math.max(depthA, depthB))) ** 2;
  return sum;
}

/** The same of the spread of two fills, the first turned by an angle. */
export function spreadDifference(a: FillShape, b: FillShape, angle: number): number {
  const turned = turnedShape(a, angle);
  const sigma = spreadSigma(Math.max(a[0]!, b[0]!));
  let sum = 0;
  for (let k = 0; k < turned.length; k++) sum += ((turned[k]! - b[k]!) / sigma) ** 2;
  return sum;
}

/** The least difference of the spread over all turns of the first. */
export function leastSpreadDifference(a: FillShape, b: FillShape): number {
  const step = Math.PI / 90;
  let [least, best] = [Infinity, 0];
  const look = (angle: number) => {
    const difference = spreadDifference(a, b, angle);
    if (difference < least) [least, best] = [difference, angle];
  };
  for (let i = 0; i < 180; i++) look(i * step);
  const coarse = best;
  for (let i = -10; i <= 10; i++) look(coarse + (i * step) / 10);
  return least;
}
