import { inBatches } from '../base/batches.js';
import { isInside } from '../base/plane-geometry.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import { UnionFind } from '../mesh/union-find.js';
import { trianglesByHollow } from './patch.js';
import type { WallField } from './wall-field.js';

/** A hollow as a set of triangles of the plate's mesh. */
export interface HollowSurface {
  /** Numbers of its triangles: the wall that the fill body is built from. */
  readonly wall: Uint32Array;
  /** Numbers of the triangles that the volume integral runs over. */
  readonly integral: Uint32Array;
  /** It reaches the plate's side under the land, so that a fill would run off. */
  readonly runsOut: boolean;
}

/** An opening on the plate's side under this area is taken for a nick in the edge, mm² (common practice, no source). */
const leastRunOutMm2 = 20;

/** Hollows with an opening under this are dents or dirt, mm² (common practice, no source). */
const leastHollowMm2 = 0.5;

/**
 * Sorts the wall's parts into hollows and the rest. The block's sides and back are a part too, whose projected area is
 * negative, since its back faces down; floors that face up inside the land's outline but belong to it are hollows that
 * run out over the plate's edge.
 */
export function findHollows(
  mesh: TriangleMesh,
  wall: WallField,
  outline: Float64Array,
  limitMm: number,
): HollowSurface[] {
  const byWall = trianglesByHollow(mesh, wall, wall.standsOutMm === null ? null : (t) => isBack(mesh, wall, t));
  const byReach = wall.reach === wall.labels ? byWall : trianglesByReach(mesh, wall);
  const hollows: HollowSurface[] = [];
  for (let part = 1; part <= wall.count; part++) {
    const own = byWall.order.subarray(byWall.start[part]!, byWall.start[part + 1]!);
    if (own.length === 0) continue;
    const view = lookDown(mesh, own, outline);
    if (view.net > 0 && view.net < leastHollowMm2) continue;
    if (view.net > 0 && view.insideShare > 0.5) {
      const integral = byReach.order.subarray(byReach.start[part]!, byReach.start[part + 1]!);
      hollows.push({ wall: own, integral, runsOut: false });
    } else {
      for (const floor of floorsInside(mesh, wall, own, outline, limitMm))
        hollows.push({ wall: floor, integral: floor, runsOut: true });
    }
  }
  return hollows;
}

function projectedArea(mesh: TriangleMesh, t: number): number {
  const { positions: p, triangles } = mesh;
  const a = 3 * triangles[3 * t]!;
  const b = 3 * triangles[3 * t + 1]!;
  const c = 3 * triangles[3 * t + 2]!;
  return ((p[b]! - p[a]!) * (p[c + 1]! - p[a + 1]!) - (p[c]! - p[a]!) * (p[b + 1]! - p[a + 1]!)) / 2;
}

function centre(mesh: TriangleMesh, t: number): [number, number] {
  const { positions: p, triangles } = mesh;
  let x = 0;
  let y = 0;
  for (let k = 0; k < 3; k++) {
    x += p[3 * triangles[3 * t + k]!]! / 3;
    y += p[3 * triangles[3 * t + k]! + 1]! / 3;
  }
  return [x, y];
}

/** The net projected area of some triangles, and how much of what faces up lies inside the land's outline. */
function lookDown(mesh: TriangleMesh, own: Uint32Array, outline: Float64Array) {
  let net = 0;
  inBatches(own.length, (from, to) => {
    net = addProjected(mesh, own, from, to, net);
  });
  let up = 0;
  let inside = 0;
  // A few thousand triangles tell the share.
  const every = Math.ceil(own.length / 4000);
  for (let i = 0; i < own.length; i += every) {
    const t = own[i]!;
    const area = projectedArea(mesh, t);
    if (area <= 0) continue;
    up += area;
    if (isInside([outline], ...centre(mesh, t))) inside += area;
  }
  return { net, insideShare: up > 0 ? inside / up : 0 };
}

function addProjected(mesh: TriangleMesh, own: Uint32Array, from: number, to: number, before: number): number {
  let net = before;
  for (let i = from; i < to; i++) net += projectedArea(mesh, own[i]!);
  return net;
}

/** Connected floors inside the outline that belong to the plate's outside. */
function floorsInside(
  mesh: TriangleMesh,
  wall: WallField,
  own: Uint32Array,
  outline: Float64Array,
  limitMm: number,
): Uint32Array[] {
  const facing: number[] = [];
  for (const t of own) {
    if (projectedArea(mesh, t) > 1e-9 && isInside([outline], ...centre(mesh, t))) facing.push(t);
  }
  const { triangles } = mesh;
  const sets = new UnionFind(wall.z.length);
  for (const t of facing) {
    sets.union(triangles[3 * t]!, triangles[3 * t + 1]!);
    sets.union(triangles[3 * t]!, triangles[3 * t + 2]!);
  }
  const groups = new Map<number, number[]>();
  for (const t of facing) {
    const root = sets.find(triangles[3 * t]!);
    const group = groups.get(root);
    if (group === undefined) groups.set(root, [t]);
    else group.push(t);
  }
  // Only what is deep without doubt counts: at the foot of a steep side the land is drawn into the rim's extrapolation.
  const isDeep = (t: number) => [0, 1, 2].some((k) => wall.calm[triangles[3 * t + k]!]! < -limitMm);
  return [...groups.values()]
    .filter((group) => group.reduce((sum, t) => sum + (isDeep(t) ? projectedArea(mesh, t) : 0), 0) >= leastRunOutMm2)
    .map((group) => Uint32Array.from(group));
}

/** Groups the triangles by the hollow whose integral reaches them: that of their lowest reached vertex. */
function trianglesByReach(mesh: TriangleMesh, wall: WallField) {
  const { triangles } = mesh;
  const count = triangles.length / 3;
  const start = new Uint32Array(wall.count + 2);
  const hollows = new Int32Array(count);
  for (let t = 0; t < count; t++) {
    let lowest = -1;
    for (let k = 0; k < 3; k++) {
      const v = triangles[3 * t + k]!;
      if (wall.reach[v] !== 0 && (lowest < 0 || wall.z[v]! < wall.z[lowest]!)) lowest = v;
    }
    hollows[t] = lowest < 0 || holdsNothing(mesh, wall, t) ? 0 : wall.reach[lowest]!;
    start[hollows[t]! + 1]!++;
  }
  for (let k = 0; k <= wall.count; k++) start[k + 1]! += start[k]!;
  const order = new Uint32Array(count);
  const filled = start.slice();
  for (let t = 0; t < count; t++) order[filled[hollows[t]!]!++] = t;
  return { order, start };
}

/**
 * Of a shell of its own the flat back that lies in the scrape surface. Where it has no points but the rim's, a rim that noise
 * drew under the surface would take all of it along, and a hollow with a lid is none.
 */
function isBack(mesh: TriangleMesh, { calm, standsOutMm }: WallField, t: number): boolean {
  if (standsOutMm === null) return false;
  for (let k = 3 * t; k < 3 * t + 3; k++) if (Math.abs(calm[mesh.triangles[k]!]!) > 2 * standsOutMm) return false;
  return projectedArea(mesh, t) < 0;
}

/** Of a shell of its own: what stands out of the scrape surface, and its back. */
function holdsNothing(mesh: TriangleMesh, wall: WallField, t: number): boolean {
  const { calm, standsOutMm } = wall;
  if (standsOutMm === null) return false;
  if (isBack(mesh, wall, t)) return true;
  let standsOut = false;
  for (let k = 3 * t; k < 3 * t + 3; k++) {
    const height = calm[mesh.triangles[k]!]!;
    if (height < -standsOutMm) return false;
    if (height > standsOutMm) standsOut = true;
  }
  return standsOut;
}
