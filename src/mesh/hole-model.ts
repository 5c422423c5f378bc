/**
 * The surface across a hole, learnt from the surface round it: heights over a plane as a polynomial of degree 2 with up
 * to three straight creases (a rim, the foot of a wall) where the surroundings show them. A crease is a term
 * k max(0, s - d): the surface bends along the line at distance d in one direction. Creases are found on a grid of
 * directions and places, one after the other, each then sought again with the others in place. Which they are is not
 * known for certain: the range of those that explain the surroundings about as well says how far the surface inside may
 * be off.
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
/** Creases are looked for up to this far from the middle, in reaches of the hole. */
const farthest = 1.3;
/** Least gain in log-likelihood times two by which a crease is taken: its three parameters' chance gain, and safety. */
const leastGain = 12;

/**
 * A real crease is bent, rounded, or ends inside the hole: its part is in doubt by this share of itself (measured on holes
 * of 1 and 2 mm radius on rims and feet of walls; see docs/decisions/holes.md).
 */
const creaseDoubt = 0.25;

type Term = (u: number, v: number) => number;
const polynomial: Term[] = [() => 1, (u) => u, (_, v) => v, (u) => u * u, (u, v) => u * v, (_, v) => v * v];

/**
 * @param reach how far the hole reaches from its middle
 * @param inside u, v per place inside the hole, stride 2, each standing for an equal part of it
 * @param mostCreases how many creases are looked for at most
 */
export function holeModel(points: HolePoints, reach: number, inside: Float64Array, mostCreases = 3): HoleModel {
  const fit = new Fit(points, reach, inside);
  if (mostCreases === 0) return { heights: fit.heightsInside(), sigma: fit.meanSigma() };
  const creases: Crease[] = [];
  let next = fit.search();
  while (creases.length < mostCreases && next !== null && next.significance > leastGain) {
    creases.push(next.crease);
    for (let i = creases.length - 2; i >= 0 && creases.length > 1; i--) {
      fit.take(creases.filter((_, j) => j !== i));
      creases[i] = fit.search()?.crease ?? creases[i]!;
    }
    fit.take(creases);
    next = fit.search();
  }
  const doubts = [fit.meanSigma(), next === null ? 0 : next.rangeOf(0)];
  const heights = fit.heightsInside();
  for (let i = 0; i < creases.length; i++) {
    fit.take(creases.filter((_, j) => j !== i));
    const shift = fit.shiftOf(creases[i]!);
    const again = fit.search();
    if (again !== null) doubts.push(again.rangeOf(shift), creaseDoubt * shift);
  }
  return { heights, sigma: Math.hypot(...doubts) };
}

interface Crease {
  readonly angle: number;
  readonly distance: number;
}

interface Option {
  readonly crease: Crease;
  /** What it takes off the sum of squares. */
  readonly gain: number;
  /** What it adds to the mean height inside. */
  readonly shift: number;
}

interface Found {
  readonly crease: Crease;
  readonly significance: number;
  /** Root mean square of what the creases would change against one, each counted by its likelihood. */
  rangeOf(shift: number): number;
}

/** Least squares on an orthogonal basis that grows by creases. */
class Fit {
  private readonly points: number;
  private readonly size: number;
  private readonly count: number;
  private readonly root: Float64Array;
  private readonly uv: Float64Array;
  private readonly heights: Float64Array;
  private readonly base: Float64Array[] = [];
  private fitted: Float64Array[] = [];
  private rest = new Float64Array();

  constructor({ uv, heights, weights }: HolePoints, reach: number, inside: Float64Array) {
    // Rows 0 … points - 1 are the surroundings, which the fit sees; the rest are the places inside, which it does not.
    this.points = heights.length;
    this.size = this.points + inside.length / 2;
    this.count = effectiveCount(weights);
    this.uv = new Float64Array(2 * this.size);
    this.uv.set(uv);
    this.uv.set(inside, 2 * this.points);
    for (let i = 0; i < this.uv.length; i++) this.uv[i]! /= reach;
    this.root = new Float64Array(this.size).fill(1);
    for (let i = 0; i < this.points; i++) this.root[i] = Math.sqrt(weights[i]!);
    this.heights = new Float64Array(this.size);
    for (let i = 0; i < this.points; i++) this.heights[i] = this.root[i]! * heights[i]!;
    for (const term of polynomial) this.add(this.base, this.column(term));
    this.take([]);
  }

  /** Fits the polynomial and some creases. */
  take(creases: readonly Crease[]): void {
    this.fitted = [...this.base];
    for (const crease of creases) this.add(this.fitted, this.column(bend(crease)));
    // Inside the hole, where no height is known, the rest becomes minus the fitted height.
    this.rest = this.heights.slice();
    for (const q of this.fitted) subtract(this.rest, q, this.inner(this.rest, q));
  }

  heightsInside(): Float64Array {
    return this.rest.slice(this.points).map((value) => -value);
  }

  shiftOf(crease: Crease): number {
    return this.option(crease)?.shift ?? 0;
  }

  /** The crease that explains most of the rest; null where none says anything. */
  search(): Found | null {
    const options: Option[] = [];
    let best: Option | null = null;
    const look = (angle: number, distance: number) => {
      const option = this.option({ angle, distance });
      if (option === null) return;
      options.push(option);
      if (best === null || option.gain > best.gain) best = option;
    };
    const [turn, step] = [Math.PI / directions, (2 * farthest) / (places - 1)];
    for (let i = 0; i < directions; i++) {
      for (let j = 0; j < places; j++) look(i * turn, j * step - farthest);
    }
    if (best === null) return null;
    for (let fine = 0.5; fine > 0.1; fine /= 2) {
      const { angle, distance } = (best as Option).crease;
      for (let i = -1; i <= 1; i++)
        for (let j = -1; j <= 1; j++) look(angle + i * fine * turn, distance + j * fine * step);
    }
    const { crease, gain } = best as Option;
    const before = this.inner(this.rest, this.rest);
    const left = Math.max(before - gain, 1e-9 * before, 1e-18);
    const variance = left / Math.max(1, this.count - this.fitted.length - 3);
    return {
      crease,
      significance: this.count * Math.log(before / left),
      rangeOf(shift) {
        let [sum, square] = [0, 0];
        for (const option of options) {
          const likelihood = Math.exp((option.gain - gain) / (2 * variance));
          sum += likelihood;
          square += likelihood * (option.shift - shift) ** 2;
        }
        return Math.sqrt(square / sum);
      },
    };
  }

  /** Standard deviation of the mean height inside for what the fit left unexplained in the surroundings. */
  meanSigma(): number {
    const { points } = this;
    const means = this.fitted.map((q) => this.meanInside(q));
    let square = 0;
    for (let i = 0; i < points; i++) {
      let pull = 0;
      for (let k = 0; k < means.length; k++) pull += means[k]! * this.fitted[k]![i]!;
      square += (pull * this.root[i]!) ** 2;
    }
    let weights = 0;
    for (let i = 0; i < points; i++) weights += this.root[i]! ** 2;
    const free = Math.max(1, this.count - this.fitted.length) / this.count;
    return Math.sqrt((square * this.inner(this.rest, this.rest)) / (weights * free));
  }

  private option(crease: Crease): Option | null {
    const own = this.column(bend(crease));
    const length = this.inner(own, own);
    for (const q of this.fitted) subtract(own, q, this.inner(own, q));
    const square = this.inner(own, own);
    // A crease beside all points, or one that the other terms make as well, says nothing.
    if (!(square > 1e-3 * length)) return null;
    const size = this.inner(own, this.rest) / square;
    return { crease, gain: size * size * square, shift: size * this.meanInside(own) };
  }

  private column(term: Term): Float64Array {
    const out = new Float64Array(this.size);
    for (let i = 0; i < out.length; i++) out[i] = this.root[i]! * term(this.uv[2 * i]!, this.uv[2 * i + 1]!);
    return out;
  }

  private add(basis: Float64Array[], own: Float64Array): void {
    for (let twice = 0; twice < 2; twice++) for (const q of basis) subtract(own, q, this.inner(own, q));
    const length = Math.sqrt(this.inner(own, own));
    if (length > 1e-9) basis.push(own.map((value) => value / length));
  }

  private inner(a: Float64Array, b: Float64Array): number {
    let sum = 0;
    for (let i = 0; i < this.points; i++) sum += a[i]! * b[i]!;
    return sum;
  }

  private meanInside(column: Float64Array): number {
    let sum = 0;
    for (let i = this.points; i < column.length; i++) sum += column[i]!;
    return sum / Math.max(1, column.length - this.points);
  }
}

function bend({ angle, distance }: Crease): Term {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  return (u, v) => Math.max(0, c * u + s * v - distance);
}

function subtract(from: Float64Array, q: Float64Array, times: number): void {
  for (let i = 0; i < from.length; i++) from[i]! -= times * q[i]!;
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
