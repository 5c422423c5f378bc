import type { FillBody } from '../cavity/fill-body.js';

/**
 * A body as upright columns on a square grid. Each column holds runs: stretches inside the body, with exact ends. Grid
 * axes are turned against the body's own, so that straight walls along them do not fall together with rows of columns.
 */
export interface Columns {
  readonly stepMm: number;
  /** Columns along the grid's two axes; column (i, j) has the number i + across * j. */
  readonly across: number;
  readonly along: number;
  /** Runs of column c: `starts[c]` up to `starts[c + 1]`, from below upwards. */
  readonly starts: Uint32Array;
  readonly bottomMm: Float64Array;
  readonly topMm: Float64Array;
  /** Per run: 1 where it ends at the opening, 0 where it ends under wall. */
  readonly isOpen: Uint8Array;
  /** Place in the body's frame of the point at a height in a column. */
  place(column: number, heightMm: number): [number, number, number];
}

/** Turn of the grid's axes in plan: the slope is the golden ratio's, far from every simple fraction. */
const turn = Math.atan((Math.sqrt(5) - 1) / 2);

/** A tilt of the body: the direction in plan (degrees from x towards y) that is raised, and by how much. */
export interface Tilt {
  readonly towardsDeg: number;
  readonly tiltDeg: number;
}

/**
 * @param mostColumns sets the step: the grid has about this many columns over the body's box
 * @param leastStepMm no finer than this
 */
export function columnsOf(
  body: FillBody,
  mostColumns: number,
  leastStepMm: number,
  tilt: Tilt = { towardsDeg: 0, tiltDeg: 0 },
): Columns {
  const frame = gridFrame(tilt);
  const { triangles } = body;
  const points = intoFrame(frame, body.positions);
  const [u0, v0, u1, v1] = extent(points, triangles);
  const stepMm = Math.max(leastStepMm, Math.sqrt(((u1 - u0) * (v1 - v0)) / mostColumns));
  const across = Math.max(1, Math.ceil((u1 - u0) / stepMm));
  const along = Math.max(1, Math.ceil((v1 - v0) / stepMm));

  // Two passes over the triangles: count the crossings of each column, then write them down.
  const crossings = new Uint32Array(across * along + 1);
  const faces = triangles.length / 3;
  const each = (visit: (column: number, height: number, face: number, sign: number) => void): void => {
    for (let f = 0; f < faces; f++) crossColumns(points, triangles, f, u0, v0, stepMm, across, along, visit);
  };
  each((column) => {
    crossings[column + 1]!++;
  });
  for (let c = 0; c < across * along; c++) crossings[c + 1]! += crossings[c]!;
  const total = crossings[across * along]!;
  const heights = new Float64Array(total);
  const kinds = new Int8Array(total);
  const fill = crossings.slice();
  each((column, height, face, sign) => {
    let at = fill[column]!++;
    for (; at > crossings[column]! && heights[at - 1]! > height; at--) {
      heights[at] = heights[at - 1]!;
      kinds[at] = kinds[at - 1]!;
    }
    heights[at] = height;
    kinds[at] = face < body.wallTriangles ? sign : 2 * sign;
  });

  const starts = new Uint32Array(across * along + 1);
  const bottomMm = new Float64Array(total >> 1);
  const topMm = new Float64Array(total >> 1);
  const isOpen = new Uint8Array(total >> 1);
  let runs = 0;
  for (let c = 0; c < across * along; c++) {
    let winding = 0;
    let from = 0;
    for (let k = crossings[c]!; k < crossings[c + 1]!; k++) {
      const before = winding;
      winding += Math.sign(kinds[k]!);
      if (before === 0 && winding === 1) from = heights[k]!;
      if (before === 1 && winding === 0 && heights[k]! > from) {
        bottomMm[runs] = from;
        topMm[runs] = heights[k]!;
        isOpen[runs++] = kinds[k] === -2 ? 1 : 0;
      }
    }
    starts[c + 1] = runs;
  }
  return {
    stepMm,
    across,
    along,
    starts,
    bottomMm: bottomMm.slice(0, runs),
    topMm: topMm.slice(0, runs),
    isOpen: isOpen.slice(0, runs),
    place(column, heightMm) {
      const u = u0 + ((column % across) + 0.5) * stepMm;
      const v = v0 + (Math.floor(column / across) + 0.5) * stepMm;
      const at = (axis: number) => frame[axis]! * u + frame[3 + axis]! * v + frame[6 + axis]! * heightMm;
      return [at(0), at(1), at(2)];
    },
  };
}

/** Rows: the grid's two axes and the direction up, in the body's frame. */
function gridFrame({ towardsDeg, tiltDeg }: Tilt): number[] {
  const towards = (towardsDeg * Math.PI) / 180;
  const tilt = (tiltDeg * Math.PI) / 180;
  const up = [Math.cos(towards) * Math.sin(tilt), Math.sin(towards) * Math.sin(tilt), Math.cos(tilt)];
  // A level direction, and the one square to it and to up.
  const level = [-Math.sin(towards), Math.cos(towards), 0];
  const other = [
    level[1]! * up[2]! - level[2]! * up[1]!,
    level[2]! * up[0]! - level[0]! * up[2]!,
    level[0]! * up[1]! - level[1]! * up[0]!,
  ];
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  const u = [0, 1, 2].map((k) => c * other[k]! + s * level[k]!);
  const v = [0, 1, 2].map((k) => -s * other[k]! + c * level[k]!);
  return [...u, ...v, ...up];
}

function intoFrame(frame: readonly number[], positions: Float64Array): Float64Array {
  const points = new Float64Array(positions.length);
  for (let o = 0; o < positions.length; o += 3) {
    const x = positions[o]!;
    const y = positions[o + 1]!;
    const z = positions[o + 2]!;
    for (let row = 0; row < 3; row++) {
      points[o + row] = frame[3 * row]! * x + frame[3 * row + 1]! * y + frame[3 * row + 2]! * z;
    }
  }
  return points;
}

function extent(points: Float64Array, triangles: Uint32Array): [number, number, number, number] {
  let [u0, v0, u1, v1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const vertex of triangles) {
    const u = points[3 * vertex]!;
    const v = points[3 * vertex + 1]!;
    if (u < u0) u0 = u;
    if (u > u1) u1 = u;
    if (v < v0) v0 = v;
    if (v > v1) v1 = v;
  }
  return [u0, v0, u1, v1];
}

/** Visits every column whose axis crosses a face: height, and +1 where it enters the body from below, -1 where it leaves. */
function crossColumns(
  p: Float64Array,
  triangles: Uint32Array,
  f: number,
  u0: number,
  v0: number,
  step: number,
  across: number,
  along: number,
  visit: (column: number, height: number, face: number, sign: number) => void,
): void {
  const a = 3 * triangles[3 * f]!;
  const b = 3 * triangles[3 * f + 1]!;
  const c = 3 * triangles[3 * f + 2]!;
  const au = p[a]!;
  const av = p[a + 1]!;
  const bu = p[b]!;
  const bv = p[b + 1]!;
  const cu = p[c]!;
  const cv = p[c + 1]!;
  const twice = (bu - au) * (cv - av) - (bv - av) * (cu - au);
  if (twice === 0) return;
  // Seen from above a face that looks down runs clockwise: there the column enters.
  const sign = twice < 0 ? 1 : -1;
  const low = Math.max(0, Math.ceil((Math.min(av, bv, cv) - v0) / step - 0.5));
  const high = Math.min(along - 1, Math.floor((Math.max(av, bv, cv) - v0) / step - 0.5));
  for (let j = low; j <= high; j++) {
    const v = v0 + (j + 0.5) * step;
    // Where the row crosses the edges; an edge belongs to the row if one end is above it and the other is not.
    let from = Infinity;
    let to = -Infinity;
    for (let e = 0; e < 3; e++) {
      const p0 = e === 0 ? a : e === 1 ? b : c;
      const p1 = e === 0 ? b : e === 1 ? c : a;
      if (p[p0 + 1]! > v === p[p1 + 1]! > v) continue;
      const u = crossingOf(p, p0, p1, v);
      if (u < from) from = u;
      if (u > to) to = u;
    }
    const first = Math.max(0, Math.ceil((from - u0) / step - 0.5));
    const last = Math.min(across - 1, Math.ceil((to - u0) / step - 0.5) - 1);
    for (let i = first; i <= last; i++) {
      const u = u0 + (i + 0.5) * step;
      const s = ((u - au) * (cv - av) - (v - av) * (cu - au)) / twice;
      const t = ((bu - au) * (v - av) - (bv - av) * (u - au)) / twice;
      const height = p[a + 2]! + s * (p[b + 2]! - p[a + 2]!) + t * (p[c + 2]! - p[a + 2]!);
      visit(i + across * j, height, f, sign);
    }
  }
}

/** Where an edge crosses a row; the same number for both faces that share the edge. */
function crossingOf(p: Float64Array, p0: number, p1: number, v: number): number {
  const [a, b] = p0 < p1 ? [p0, p1] : [p1, p0];
  return p[a]! + ((v - p[a + 1]!) * (p[b]! - p[a]!)) / (p[b + 1]! - p[a + 1]!);
}
