/**
 * The surface across a hole, learnt from the surface round it: heights over a plane as a polynomial of degree 2 with up
 * to two straight creases (a rim, the foot of a wall) where the surroundings show them. A crease is a term
 * k max(0, s - d): the surface bends along the line at distance d in one direction. Which crease is not known for
 * certain: every direction and place on a grid is tried, and the range of those that explain the surroundings about as
 * well says how far the surface inside may be off.
 */
export interface HolePoints {
  /** u, v per point, stride 2, about the hole's middle. */
  readonly uv: Float64Array;
  readonly heights: Float64Array;
  /** How much each point counts. */
  readonly weights: Float64Array;
}

export interface HoleModel {
  /** Height at each place that was asked for. */
  readonly heights: Float64Array;
  /** Standard deviation of their mean. */
  readonly sigma: number;
}

const directions = 24;
const places = 17;
const mostCreases = 2;
/** Least gain in log-likelihood times two by which a crease is taken: its three parameters' chance gain, and safety. */
const leastGain = 12;

type Term = (u: number, v: number) => number;
const polynomial: Term[] = [() => 1, (u) => u, (_, v) => v, (u) => u * u, (u, v) => u * v, (_, v) => v * v];

/**
 * @param reach how far the hole reaches from its middle
 * @param inside u, v per place inside the hole, stride 2, each standing for an equal part of it
 */
export function holeModel({ uv, heights, weights }: HolePoints, reach: number, inside: Float64Array): HoleModel {
  const n = heights.length;
  const size = n + inside.length / 2;
  // Rows 0 … n - 1 are the surroundings, which the fit sees; the rest are the places inside, which it does not.
  const column = (term: Term) => {
    const out = new Float64Array(size);
    for (let i = 0; i < n; i++) out[i] = Math.sqrt(weights[i]!) * term(uv[2 * i]! / reach, uv[2 * i + 1]! / reach);
    for (let i = n; i < size; i++) out[i] = term(inside[2 * (i - n)]! / reach, inside[2 * (i - n) + 1]! / reach);
    return out;
  };
  // What the fit has not explained; inside the hole, where no height is known, it becomes minus the fitted height.
  const rest = new Float64Array(size);
  for (let i = 0; i < n; i++) rest[i] = Math.sqrt(weights[i]!) * heights[i]!;
  const fitted: Float64Array[] = [];
  const orthogonal = (own: Float64Array) => {
    for (const q of fitted) take(own, q, inner(own, q, n));
    return own;
  };
  const add = (own: Float64Array) => {
    const length = Math.sqrt(inner(own, own, n));
    if (length < 1e-9) return;
    const q = own.map((value) => value / length);
    fitted.push(q);
    take(rest, q, inner(rest, q, n));
  };
  for (const term of polynomial) add(orthogonal(orthogonal(column(term))));

  const count = effectiveCount(weights);
  let doubt = 0;
  for (let crease = 0; crease < mostCreases; crease++) {
    const before = inner(rest, rest, n);
    let best: Option | null = null;
    const options: Option[] = [];
    for (const term of creases()) {
      const raw = column(term);
      const length = inner(raw, raw, n);
      const own = orthogonal(raw);
      const square = inner(own, own, n);
      // A crease beside all points, or one that the other terms make as well, says nothing.
      if (!(square > 1e-3 * length)) continue;
      const bend = inner(own, rest, n) / square;
      const option = { own, gain: bend * bend * square, shift: bend * meanInside(own, n) };
      options.push(option);
      if (best === null || option.gain > best.gain) best = option;
    }
    if (best === null) break;
    const left = Math.max(before - best.gain, 1e-12 * before, 1e-18);
    const isTaken = count * Math.log(before / left) > leastGain;
    doubt = rangeOfShifts(options, best.gain, isTaken ? best.shift : 0, left / Math.max(1, count - fitted.length - 3));
    if (!isTaken) break;
    add(best.own);
  }
  const variance = inner(rest, rest, n) / Math.max(1, count - fitted.length);
  const ofMean = fitted.reduce((sum, q) => sum + meanInside(q, n) ** 2, 0);
  return { heights: rest.slice(n).map((value) => -value), sigma: Math.hypot(doubt, Math.sqrt(variance * ofMean)) };
}

interface Option {
  readonly own: Float64Array;
  /** What it takes off the sum of squares. */
  readonly gain: number;
  /** What it adds to the mean height inside. */
  readonly shift: number;
}

/** Root mean square of what the creases would change, each counted by its likelihood against the best one. */
function rangeOfShifts(options: readonly Option[], bestGain: number, taken: number, variance: number): number {
  let [sum, square] = [0, 0];
  for (const { gain, shift } of options) {
    const likelihood = Math.exp((gain - bestGain) / (2 * variance));
    sum += likelihood;
    square += likelihood * (shift - taken) ** 2;
  }
  return Math.sqrt(square / sum);
}

function* creases(): Generator<Term> {
  for (let i = 0; i < directions; i++) {
    const [c, s] = [Math.cos((Math.PI * i) / directions), Math.sin((Math.PI * i) / directions)];
    for (let j = 0; j < places; j++) {
      const d = 1.3 * ((2 * j) / (places - 1) - 1);
      yield (u, v) => Math.max(0, c * u + s * v - d);
    }
  }
}

function inner(a: Float64Array, b: Float64Array, n: number): number {
  let sum = 0;
  for (let i = 0; i < n; i++) sum += a[i]! * b[i]!;
  return sum;
}

function take(from: Float64Array, q: Float64Array, times: number): void {
  for (let i = 0; i < from.length; i++) from[i]! -= times * q[i]!;
}

function meanInside(column: Float64Array, n: number): number {
  let sum = 0;
  for (let i = n; i < column.length; i++) sum += column[i]!;
  return sum / Math.max(1, column.length - n);
}

/** As how many equal ones weighted points count (Kish 1965). */
function effectiveCount(weights: Float64Array): number {
  let [sum, square] = [0, 0];
  for (const w of weights) {
    sum += w;
    square += w * w;
  }
  return (sum * sum) / square;
}
