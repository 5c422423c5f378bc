import type { Manifold, ManifoldToplevel } from 'manifold-3d';
import { Fault } from '../base/fault.js';

/**
 * The one door to the wasm solid library. Everything that may exhaust or crash the wasm heap goes through here, so that
 * an instance that died can be dropped and a new one taken; nothing outside holds on to wasm objects.
 */
export interface ClosedMesh {
  /** x, y, z per vertex: stride 3, mm. Handed over as float32: keep it near the origin. */
  readonly positions: Float64Array;
  /** Three indices per triangle, counter-clockwise from outside. */
  readonly triangles: Uint32Array;
}

export interface TrimmedSolid extends ClosedMesh {
  readonly volumeMm3: number;
}

let instance: Promise<ManifoldToplevel> | undefined;

/** How the wasm binary is found where there is no file system: set once by a browser worker. */
let wasmSettings: { locateFile?: () => string; wasmBinary?: ArrayBuffer } | undefined;

export function configureSolids(settings: { locateFile?: () => string; wasmBinary?: ArrayBuffer }): void {
  wasmSettings = settings;
  instance = undefined;
}

/** Forgets the wasm instance; the next call starts a fresh one. */
export function resetSolids(): void {
  instance = undefined;
}

async function solids(): Promise<ManifoldToplevel> {
  instance ??= (async () => {
    const { default: load } = await import('manifold-3d');
    const library = await load(wasmSettings as never);
    library.setup();
    return library;
  })();
  return instance;
}

/**
 * The part of a closed mesh under z = 0, as one closed solid.
 * @returns null where the mesh is not a closed, oriented solid, or nothing of it lies under z = 0
 */
export async function trimUnderZero(mesh: ClosedMesh): Promise<TrimmedSolid | null> {
  const library = await solids();
  let whole: Manifold | undefined;
  let under: Manifold | undefined;
  try {
    const input = new library.Mesh({
      numProp: 3,
      vertProperties: Float32Array.from(mesh.positions),
      triVerts: mesh.triangles,
    });
    whole = new library.Manifold(input);
    under = whole.trimByPlane([0, 0, -1], 0);
    if (under.isEmpty()) return null;
    const volumeMm3 = under.volume();
    const { vertProperties, triVerts, numProp } = under.getMesh();
    const positions = new Float64Array((vertProperties.length / numProp) * 3);
    for (let v = 0, from = 0; v < positions.length; v += 3, from += numProp) {
      positions[v] = vertProperties[from]!;
      positions[v + 1] = vertProperties[from + 1]!;
      positions[v + 2] = vertProperties[from + 2]!;
    }
    return { positions, triangles: Uint32Array.from(triVerts), volumeMm3 };
  } catch (error) {
    if (isWasmDeath(error)) {
      resetSolids();
      throw new Fault({
        code: 'solid-memory',
        message: 'One cavity has more triangles than the solid library can hold in memory.',
        remedy: 'Thin the mesh out to a point spacing of 0.1 mm or more and survey it again.',
      });
    }
    return null;
  } finally {
    under?.delete();
    whole?.delete();
  }
}

/**
 * Bands round openings: per opening the part of the plate within a distance of it, round at the corners, outside every
 * opening.
 * @param openings at least one; per opening its loops, at least one (outer ones counter-clockwise, islands clockwise)
 * @param others loops of openings that have no band of their own but take room from the bands
 * @param outline the plate, counter-clockwise
 * @returns per opening the band's area, and the loops of that part which other bands cover too
 */
export async function bandsRoundOpenings(
  openings: readonly (readonly Float64Array[])[],
  others: readonly Float64Array[],
  outline: Float64Array,
  bandMm: number,
): Promise<{ areaMm2: number; shared: Float64Array[] }[]> {
  const library = await solids();
  const kept: { delete(): void }[] = [];
  const keep = <T extends { delete(): void }>(item: T): T => {
    kept.push(item);
    return item;
  };
  const section = (loops: readonly Float64Array[]) => keep(new library.CrossSection(loops.map(pairs), 'Positive'));
  try {
    const open = openings.map(section);
    const all = keep(library.CrossSection.union(others.length > 0 ? [...open, section(others)] : open));
    const plate = section([outline]);
    // 256 points a full circle: the round corners' area is right to 1e-4.
    const bands = open.map((opening) => {
      const grown = keep(opening.offset(bandMm, 'Round', 2, 256));
      return keep(keep(grown.subtract(all)).intersect(plate));
    });
    const boxes = bands.map((band) => band.bounds());
    return bands.map((band, i) => {
      const near = bands.filter((_, j) => j !== i && overlap(boxes[i]!, boxes[j]!));
      if (near.length === 0) return { areaMm2: band.area(), shared: [] };
      const shared = keep(band.intersect(keep(library.CrossSection.union(near))));
      return { areaMm2: band.area(), shared: shared.toPolygons().map((loop) => Float64Array.from(loop.flat())) };
    });
  } finally {
    for (const item of kept) item.delete();
  }
}

function overlap(
  a: { min: readonly number[]; max: readonly number[] },
  b: { min: readonly number[]; max: readonly number[] },
): boolean {
  return [0, 1].every((k) => a.min[k]! < b.max[k]! && b.min[k]! < a.max[k]!);
}

function pairs(loop: Float64Array): [number, number][] {
  return Array.from({ length: loop.length / 2 }, (_, i) => [loop[2 * i]!, loop[2 * i + 1]!]);
}

function isWasmDeath(error: unknown): boolean {
  return error instanceof WebAssembly.RuntimeError || error instanceof RangeError;
}
