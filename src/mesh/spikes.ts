import { faceSums } from './face-sums.js';
import { type Ring, ringsOf, type Surroundings, surroundingsOf } from './rings.js';
import type { TriangleMesh } from './triangle-mesh.js';

/**
 * A spike: one vertex far off the ring of its neighbours, where the surface round the ring goes on as if it were not
 * there. All limits are common practice, no source; tests/mesh/spikes.test.ts holds them against sharp shapes and noise.
 */
const spike = {
  /** It is farther off than this many radii of its ring. */
  radii: 1.2,
  /** The relief of the ring and of the vertices round it is less than this share of it: a tip, an edge or a pin goes on. */
  relief: 1 / 3,
  /** It is farther off than this many times the roughness of the mesh. */
  roughness: 8,
  /** A tip that a person drew is a fan of many triangles, or its foot is no net of the same spacing. */
  mostNeighbours: 12,
  leastNet: 1 / 3,
} as const;

/** As many vertices tell the roughness of a mesh. */
const fewVertices = 2000;

/** A spike that was laid down. */
export interface FlatSpike {
  /** One of the triangles at its vertex. */
  readonly triangle: number;
  /** The volume that the surface swept in the direction it faces, mm³. */
  readonly sweptMm3: number;
  /** Standard deviation of the volume for not knowing where in its ring the vertex lies, mm³. */
  readonly sigmaMm3: number;
}

/**
 * Takes spikes down to the middle of their rings, in a new mesh; null where there are none.
 * @param tips the mesh's own, where they are known
 */
export function flattenSpikes(
  mesh: TriangleMesh,
  tips = faceSums(mesh).tips,
): { mesh: TriangleMesh; spikes: FlatSpike[] } | null {
  let flat = mesh;
  const spikes: FlatSpike[] = [];
  // A spike beside another shows when that one is down.
  for (let round = 0; round < 3; round++) {
    const found = findSpikes(flat, round === 0 ? tips : faceSums(flat).tips);
    if (found.length === 0) break;
    const positions = flat.positions.slice();
    for (const { ring, beyond } of found) {
      const { v, middle, areaVector, triangle, relief, radius } = ring;
      const by = middle.map((value, k) => value - positions[3 * v + k]!);
      positions.set(middle, 3 * v);
      // The surface over the ring is a fan of as many pyramids over its area.
      const sweptMm3 = (by[0]! * areaVector[0] + by[1]! * areaVector[1] + by[2]! * areaVector[2]) / 3;
      const sigmaMm3 = (Math.max(relief, beyond.relief / 2) * Math.max(Math.hypot(...areaVector), radius ** 2)) / 3;
      spikes.push({ triangle, sweptMm3, sigmaMm3 });
    }
    flat = { ...flat, positions };
  }
  return spikes.length === 0 ? null : { mesh: flat, spikes };
}

interface Spike {
  readonly ring: Ring;
  readonly beyond: Surroundings;
}

function findSpikes(mesh: TriangleMesh, tips: readonly number[]): Spike[] {
  if (tips.length === 0) return [];
  const sharp = ringsOf(mesh, tips, spike.radii).filter(isSharp);
  const beyond = surroundingsOf(mesh, sharp);
  const likely = sharp.map((ring, i) => ({ ring, beyond: beyond[i]! })).filter(standsAlone);
  // The roughness costs more than all else: a mesh without anything like a spike is not asked for it.
  if (likely.length === 0) return [];
  const limit = spike.roughness * roughnessOf(mesh);
  const taken = new Set<number>();
  return likely
    .filter(({ ring: { off } }) => off > limit)
    .filter(({ ring: { v, around } }) => {
      // Of two spikes side by side one is taken down first.
      if (around.some((w) => taken.has(w))) return false;
      taken.add(v);
      return true;
    });
}

/** Robust standard deviation of the vertices from their rings, of a share of them, mm. */
function roughnessOf(mesh: TriangleMesh): number {
  const vertices = mesh.positions.length / 3;
  const every = Math.max(1, Math.floor(vertices / fewVertices));
  const sample: number[] = [];
  for (let v = 0; v < vertices; v += every) sample.push(v);
  const heights = Float64Array.from(ringsOf(mesh, sample), ({ height }) => Math.abs(height)).sort();
  return 1.4826 * (heights[heights.length >> 1] ?? 0);
}

function isSharp({ around, relief, off, isPoint }: Ring): boolean {
  return isPoint && around.length <= spike.mostNeighbours && relief < spike.relief * off;
}

function standsAlone({ ring: { off }, beyond }: Spike): boolean {
  return beyond.relief < spike.relief * off && beyond.near > spike.leastNet * beyond.all;
}
