import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import type { NoiseGrain } from '../plate/noise-grain.js';
import { giveOutShallows } from './clean-wall.js';
import { calmContour, depthContours } from './contour.js';
import { deepParts } from './deep-parts.js';
import { NearestPoints } from './nearest-points.js';
import { outMm, RimHeights } from './rim-heights.js';
import { fitRims } from './rim-profile.js';
import { denoiseHeights, smoothHeights } from './smooth-heights.js';
import { sunkShells } from './sunk-shells.js';
import type { WallField } from './wall-field.js';
import { bentSlope } from './wall-near-rim.js';

/** How far outside the rim the volume integral still reaches: the rim's own doubt, mm. */
const marginMm = 0.75;
/**
 * Height of land that no rim reaches, mm: so high that on a land of long triangles the rim stays at their near corners.
 */
const outOfReach = 20;
/** Heights within this of the scrape surface are in it, mm. */
const snapMm = 1e-4;
/** From this far inward on the wall is the denoised one, from half as far to the rim the fitted one, mm. */
const blendMm = 1;
/** A wall that falls by more than this per mm has an edge that can be seen. */
const steepSlope = 0.6;
/** The nearest of a contour's points lies aside by up to this, mm. */
const asideMm = 0.4;
/** Width over which the depth contour is averaged along itself, mm. */
const contourMm = 1;

/**
 * The wall of a mesh with noise: hollows are labelled on smoothed heights, the rim is found by extrapolation from above
 * the noise, and heights between the depth contour and the rim follow the straight wall that was fitted there.
 * @param noiseMm standard deviation of the noise
 */
export function noisyWall(mesh: TriangleMesh, limitMm: number, noiseMm: number, grain: NoiseGrain): WallField {
  const { positions } = mesh;
  const n = positions.length / 3;
  const raw = new Float64Array(n);
  for (let v = 0; v < n; v++) raw[v] = positions[3 * v + 2]!;
  // The contour must be calm (many rounds), the wall must not shrink (few). Less noise needs less of both.
  const share = Math.min(1, noiseMm / 0.05);
  const rounds = Math.max(4, Math.round(12 * share), grainRounds(grain));
  const z = denoiseHeights(mesh, raw, noiseMm, Math.round(rounds / 2));
  const calm = smoothHeights(mesh, raw, noiseMm, rounds);
  const { labels, count } = deepParts(mesh, calm, limitMm);
  const contours = depthContours(mesh, calm, labels, count, limitMm).map((contour) => calmContour(contour, contourMm));
  const hollow = facesUp(mesh, labels, count);
  const indices = contours.map((contour, part) =>
    hollow[part] && contour.points.length > 0 ? new NearestPoints(contour.points, outMm) : null,
  );

  const shells = sunkShells(mesh, calm, limitMm);
  // A sunk piece's wall goes on over the scrape surface: its rim needs no extrapolation.
  if (shells !== null) giveOutShallows(mesh, onlyWhere(shells.isSunk, z), labels);
  const owners = labels.slice();
  const reach = labels.slice();
  const height = new Float64Array(n);
  const shellOfPart = new Int32Array(count + 1);
  const isSunk = new Uint8Array(count + 1);
  for (let v = 0; v < n; v++) {
    height[v] = labels[v] !== 0 ? Math.min(z[v]!, -limitMm / 4) : outOfReach;
    if (shells === null) continue;
    shellOfPart[labels[v]!] = shells.of[v]!;
    if (shells.isSunk[v] === 0) continue;
    isSunk[labels[v]!] = 1;
    height[v] = Math.abs(z[v]!) < snapMm ? 0 : z[v]!;
  }
  const buckets = bucketVertices(positions);
  const nearestS = new Float32Array(n).fill(Infinity);
  const near = new Near(n);
  const heights = new RimHeights(n);
  const visit = (part: number, see: (v: number, node: number, s: number) => void) => {
    const { points, outward } = contours[part]!;
    const index = indices[part]!;
    for (const v of buckets.within(index.bounds)) {
      // What stands on the land, like a dam wall or the sunk foot of a positive, is no part of a hollow either.
      if (labels[v] !== part && (labels[v] !== 0 || Math.abs(calm[v]!) > limitMm)) continue;
      const x = positions[3 * v]!;
      const y = positions[3 * v + 1]!;
      const node = index.find(x, y);
      if (node < 0) continue;
      const [ox, oy] = [x - points[2 * node]!, y - points[2 * node + 1]!];
      const s = Math.hypot(ox, oy);
      if (s > outMm) continue;
      // Close to the contour the nearest of its points lies aside, and its line says more than its points.
      const across = ox * outward[2 * node]! + oy * outward[2 * node + 1]!;
      // Land inside the contour is another sheet: the board that a piece is sunk into.
      if (labels[v] === 0 && across < -0.1 && calm[v]! > -limitMm / 2) continue;
      if (s < 1 || s * s - across * across < asideMm * asideMm) see(v, node, across);
      else see(v, node, labels[v] === part ? -s : s);
    }
  };
  const parts = indices.flatMap((index, part) => (index === null || isSunk[part] === 1 ? [] : [part]));
  for (const part of parts) {
    visit(part, (v, _, s) => {
      if (labels[v] === 0 && s < nearestS[v]!) nearestS[v] = s;
    });
  }
  for (const part of parts) {
    heights.clear();
    near.clear();
    visit(part, (v, node, s) => {
      if (labels[v] === part) {
        heights.add(node, s, raw[v]!, -z[v]!);
        if (s > -1) near.add(v, node, s);
        return;
      }
      near.add(v, node, s);
      // A spot nearer to another hollow says nothing of this one's rim.
      if (s <= nearestS[v]! + 1e-4) heights.add(node, s, raw[v]!, -z[v]!);
    });
    const { rimMm, slope, bend } = fitRims(contours[part]!, heights, limitMm, noiseMm, grain);
    for (let i = 0; i < near.count; i++) {
      const v = near.vertices[i]!;
      const node = near.nodes[i]!;
      const past = near.distances[i]! - rimMm[node]!;
      const fall = slope[node]!;
      const line = past > 0 ? fall * past : past * (fall + (bend[node]! / 2) * past);
      // Distance square to the wall as it was fitted.
      const off = (height: number) => Math.abs(line - height) / Math.hypot(1, fall);
      // Next to nothing over the scrape surface is in it, or the cut would leave slivers.
      let extrapolated = Math.abs(line) < snapMm ? 0 : line;
      if (line < 0 && fall > steepSlope && calm[v]! > -limitMm / 4 && raw[v]! > -4 * noiseMm) {
        // What is level with the land at the top of a steep wall is its edge, even if the line overshoots it a little. By
        // its own height too: smoothing may have lifted a point of the wall.
        const isOnWall = fall < bentSlope && off(0) < 3 * noiseMm;
        extrapolated = isOnWall ? Math.max(extrapolated, -limitMm / 4) : noiseMm / 2;
      }
      if (labels[v] === part) {
        // Deeper than that it is a wall that stands upright or hangs over.
        if (past > 0 && height[v]! > -2 * limitMm) height[v] = extrapolated;
        // The fitted wall passes into the denoised one, where they agree within the noise: by the raw height too, for on a
        // wall that falls by a few times the noise from point to point smoothing draws some points aside.
        const apart = Math.min(off(z[v]!), off(raw[v]!));
        if (past <= 0 && past > -blendMm && fall < bentSlope && apart < 3 * noiseMm) {
          const share = Math.min(1, 2 * (1 + past / blendMm));
          height[v] = share * line + (1 - share) * height[v]!;
        }
        continue;
      }
      if (extrapolated >= height[v]! || (shells !== null && shells.of[v] !== shellOfPart[part])) continue;
      height[v] = extrapolated;
      owners[v] = part;
      reach[v] = past <= marginMm ? part : 0;
    }
  }
  return { z: height, calm, labels: owners, count, noiseMm, reach, standsOutMm: shells === null ? null : 2 * noiseMm };
}

function onlyWhere(flags: Uint8Array, values: Float64Array): Float64Array {
  return values.map((value, v) => (flags[v] === 1 ? value : 0));
}

/** A bound on the work: noise alike over far more than the spacing of points is calmed only in part. */
const mostRounds = 80;

/**
 * Rounds of averaging that calm noise of this grain to half. A round spreads a height by 0.43 of the square of the
 * spacing along each axis (six neighbours that weigh as much as the vertex itself); means of that Gaussian's width have
 * the variance grain / (grain + 4 pi width²).
 */
function grainRounds({ grainMm2, vertexMm2 }: NoiseGrain): number {
  if (!(vertexMm2 > 0)) return 0;
  const spacing2 = vertexMm2 / Math.sqrt(0.75);
  const width2 = (3 * grainMm2) / (4 * Math.PI);
  return Math.min(mostRounds, Math.round(width2 / (0.43 * spacing2)));
}

/** Vertices outside or just inside a contour with their nearest contour points; distances are positive near. */
class Near {
  count = 0;
  readonly vertices: Uint32Array;
  readonly nodes: Uint32Array;
  readonly distances: Float32Array;

  constructor(most: number) {
    this.vertices = new Uint32Array(most);
    this.nodes = new Uint32Array(most);
    this.distances = new Float32Array(most);
  }

  clear(): void {
    this.count = 0;
  }

  add(v: number, node: number, s: number): void {
    this.vertices[this.count] = v;
    this.nodes[this.count] = node;
    this.distances[this.count++] = s;
  }
}

/** Whether the net projected area of each part faces up: a hollow, not the outside of the block. */
function facesUp(mesh: TriangleMesh, labels: Int32Array, count: number): boolean[] {
  const { positions: p, triangles } = mesh;
  const net = new Float64Array(count + 1);
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]!;
    const b = triangles[t + 1]!;
    const c = triangles[t + 2]!;
    const label = labels[a] || labels[b] || labels[c];
    if (!label) continue;
    net[label]! +=
      (p[3 * b]! - p[3 * a]!) * (p[3 * c + 1]! - p[3 * a + 1]!) -
      (p[3 * c]! - p[3 * a]!) * (p[3 * b + 1]! - p[3 * a + 1]!);
  }
  return Array.from(net, (area) => area > 0);
}

type Bounds = readonly [number, number, number, number];

/** Vertices sorted into square cells in plan. */
function bucketVertices(positions: Float64Array) {
  const cellMm = 4;
  const n = positions.length / 3;
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (let v = 0; v < n; v++) {
    x0 = Math.min(x0, positions[3 * v]!);
    x1 = Math.max(x1, positions[3 * v]!);
    y0 = Math.min(y0, positions[3 * v + 1]!);
    y1 = Math.max(y1, positions[3 * v + 1]!);
  }
  const columns = Math.floor((x1 - x0) / cellMm) + 1;
  const rows = Math.floor((y1 - y0) / cellMm) + 1;
  const cellOf = (v: number) =>
    Math.floor((positions[3 * v]! - x0) / cellMm) + columns * Math.floor((positions[3 * v + 1]! - y0) / cellMm);
  const start = new Uint32Array(columns * rows + 1);
  for (let v = 0; v < n; v++) start[cellOf(v) + 1]!++;
  for (let cell = 0; cell < columns * rows; cell++) start[cell + 1]! += start[cell]!;
  const order = new Uint32Array(n);
  const filled = start.slice();
  for (let v = 0; v < n; v++) order[filled[cellOf(v)]!++] = v;
  return {
    *within([bx0, by0, bx1, by1]: Bounds): Generator<number> {
      const left = Math.max(0, Math.floor((bx0 - x0) / cellMm));
      const right = Math.min(columns - 1, Math.floor((bx1 - x0) / cellMm));
      for (let row = Math.max(0, Math.floor((by0 - y0) / cellMm)); row < rows; row++) {
        if (y0 + row * cellMm > by1) break;
        const from = start[row * columns + left];
        const to = start[row * columns + right + 1];
        if (from === undefined || to === undefined) continue;
        for (let i = from; i < to; i++) yield order[i]!;
      }
    },
  };
}
