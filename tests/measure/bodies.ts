/** Fill bodies made from formulas, by manifold-3d: under z = 0, wall first, rim in plan. */

import earcut from 'earcut';
import Module, { type Manifold } from 'manifold-3d';
import { mulberry32 } from '../../fixtures/make/random.js';
import type { Shape } from '../../fixtures/make/shapes.js';
import { makeWall } from '../../fixtures/make/wall.js';
import type { FillBody } from '../../src/cavity/fill-body.js';

export const wasm = await Module();
wasm.setup();
const { CrossSection, Manifold: Solid } = wasm;

type Point = [number, number];

/** The part of a solid under z = 0 as a fill body, its edges halved down to `meshMm`. */
export function bodyOf(solid: Manifold, meshMm = Infinity, noiseMm = 0): FillBody {
  const under = solid.trimByPlane([0, 0, -1], 0);
  const mesh = (Number.isFinite(meshMm) ? under.refineToLength(meshMm) : under).getMesh();
  const positions = new Float64Array((mesh.vertProperties.length / mesh.numProp) * 3);
  for (let v = 0; v < positions.length / 3; v++) {
    for (let axis = 0; axis < 3; axis++) positions[3 * v + axis] = mesh.vertProperties[v * mesh.numProp + axis]!;
    if (Math.abs(positions[3 * v + 2]!) < 1e-6) positions[3 * v + 2] = 0;
  }
  const merged = mergeMap(mesh.mergeFromVert, mesh.mergeToVert, positions.length / 3);
  return fillBody(
    positions,
    Uint32Array.from(mesh.triVerts, (v) => merged[v]!),
    noiseMm,
  );
}

/** Sorts the triangles of a closed mesh under z = 0 into wall and lid, and finds the rim between them. */
export function fillBody(positions: Float64Array, triangles: Uint32Array, noiseMm = 0): FillBody {
  const wall: number[] = [];
  const lid: number[] = [];
  for (let i = 0; i < triangles.length; i += 3) {
    const corners = triangles.subarray(i, i + 3);
    (corners.every((v) => positions[3 * v + 2] === 0) ? lid : wall).push(...corners);
  }
  return {
    positions,
    triangles: Uint32Array.from([...wall, ...lid]),
    wallTriangles: wall.length / 3,
    rimLoops: boundary(positions, lid),
    noiseMm,
  };
}

/** Boundary loops of the lid, which runs counter-clockwise seen from above, so that the opening is on their left. */
function boundary(positions: Float64Array, lid: readonly number[]): Float64Array[] {
  const next = new Map<number, number>();
  const edges = new Set<string>();
  for (let i = 0; i < lid.length; i += 3) {
    for (let k = 0; k < 3; k++) edges.add(`${lid[i + k]} ${lid[i + ((k + 1) % 3)]}`);
  }
  for (const edge of edges) {
    const [a, b] = edge.split(' ').map(Number) as Point;
    if (!edges.has(`${b} ${a}`)) next.set(a, b);
  }
  const loops: Float64Array[] = [];
  while (next.size > 0) {
    const loop: number[] = [];
    for (let v = next.keys().next().value; v !== undefined; ) {
      loop.push(positions[3 * v]!, positions[3 * v + 1]!);
      const following: number | undefined = next.get(v);
      next.delete(v);
      v = following !== undefined && next.has(following) ? following : undefined;
    }
    loops.push(Float64Array.from(loop));
  }
  return loops;
}

function mergeMap(from: Uint32Array, to: Uint32Array, count: number): Uint32Array {
  const map = Uint32Array.from({ length: count }, (_, v) => v);
  from.forEach((v, i) => {
    map[v] = to[i]!;
  });
  return map;
}

/** A box with its top in z = 0. */
export function slab(lengthMm: number, widthMm: number, depthMm: number): Manifold {
  return Solid.cube([lengthMm, widthMm, depthMm]).translate([0, 0, -depthMm]);
}

export function cone(depthMm: number, radiusMm: number, segments = 256): Manifold {
  return Solid.cylinder(depthMm, 0, radiusMm, segments).translate([0, 0, -depthMm]);
}

export function ball(radiusMm: number, segments = 256): Manifold {
  return Solid.sphere(radiusMm, segments);
}

/** A section in x and z, swept along y. */
export function sweep(section: Point[], lengthMm: number): Manifold {
  return Solid.extrude(new CrossSection([section], 'NonZero'), lengthMm)
    .rotate([90, 0, 0])
    .translate([0, lengthMm, 0]);
}

/** A section in r and z, turned round the z axis. */
export function turned(section: Point[], segments = 256): Manifold {
  return Solid.revolve(new CrossSection([section], 'NonZero'), segments);
}

/** A floor that sinks from the rim x = 0 at an angle, with upright walls on the other three sides. */
export function wedge(angleDeg: number, runMm: number, lengthMm: number): Manifold {
  const depth = runMm * Math.tan((angleDeg * Math.PI) / 180);
  return sweep(
    [
      [0, 0],
      [runMm, -depth],
      [runMm, 0],
    ],
    lengthMm,
  );
}

/** Every vertex of the wall under z = 0 moved up or down by a normal deviate. */
export function withNoise(body: FillBody, sigmaMm: number, seed: number): FillBody {
  const random = normals(seed);
  const positions = body.positions.slice();
  for (let v = 0; v < positions.length / 3; v++) {
    const shift = sigmaMm * random();
    if (positions[3 * v + 2]! < 0) positions[3 * v + 2] = Math.min(-1e-6, positions[3 * v + 2]! + shift);
  }
  return { ...body, positions, noiseMm: sigmaMm };
}

function normals(seed: number): () => number {
  const random = mulberry32(seed);
  return () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
}

/** The fill body of one of the makers' cavity shapes: their wall turned to face outward, and a lid over its rim. */
export function bodyOfShape(shape: Shape, meshMm: number): FillBody {
  const wall = makeWall(shape, { meshMm });
  const positions = [...wall.positions];
  const triangles: number[] = [];
  for (let i = 0; i < wall.triangles.length; i += 3) {
    triangles.push(wall.triangles[i]!, wall.triangles[i + 2]!, wall.triangles[i + 1]!);
  }
  const [outer, ...islands] = wall.rimLoops;
  const rim = [...outer!, ...islands.flat()];
  const holes: number[] = [];
  for (let at = outer!.length, k = 0; k < islands.length; at += islands[k++]!.length) holes.push(at);
  const lid = earcut(
    rim.flatMap((v) => [positions[3 * v]!, positions[3 * v + 1]!]),
    holes,
  ).map((i) => rim[i]!);
  const up = (i: number) => {
    const [a, b, c] = [3 * lid[i]!, 3 * lid[i + 1]!, 3 * lid[i + 2]!];
    const p = positions;
    return (p[b]! - p[a]!) * (p[c + 1]! - p[a + 1]!) - (p[b + 1]! - p[a + 1]!) * (p[c]! - p[a]!) > 0;
  };
  for (let i = 0; i < lid.length; i += 3) {
    triangles.push(lid[i]!, ...(up(i) ? [lid[i + 1]!, lid[i + 2]!] : [lid[i + 2]!, lid[i + 1]!]));
  }
  return fillBody(Float64Array.from(positions), Uint32Array.from(triangles));
}
