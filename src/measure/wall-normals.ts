import type { Memory } from '../base/memory.js';
import type { TaskOptions } from '../base/source.js';
import { inPieces, memoryFor, type PieceWork, rangeOf } from './pieces.js';

/** What each face of a wall tells by itself. */
export interface FaceMeasures {
  /** Unit normals that point into the body: three numbers per face; 0 for a face without area. */
  readonly normals: Float64Array;
  readonly areasMm2: Float64Array;
  /** Sum of the corners: three numbers per face. */
  readonly centres: Float64Array;
}

/** Faces round each vertex: those of vertex v are `faces[starts[v]]` up to `faces[starts[v + 1] - 1]`. */
export interface FacesRound {
  readonly starts: Uint32Array;
  readonly faces: Uint32Array;
}

/** How normals are averaged over neighbours. */
export interface Averaging {
  /** How often each normal is replaced by the area-weighted mean over the faces that share a corner with it. */
  readonly rounds: number;
  /** Faces turned farther from each other lie across an edge of the form and are not averaged. */
  readonly alikeDeg: number;
}

const chunkFaces = 8192;

/**
 * @param positions x, y, z per vertex
 * @param triangles counter-clockwise seen from outside; the first `count` are taken
 */
export async function measureFaces(
  positions: Float64Array,
  triangles: Uint32Array,
  count: number,
  task: TaskOptions,
): Promise<FaceMeasures> {
  const memory = memoryFor(task);
  const measures = {
    normals: new Float64Array(memory(24 * count)),
    areasMm2: new Float64Array(memory(8 * count)),
    centres: new Float64Array(memory(24 * count)),
  };
  await inPieces(facePieces, { positions, triangles, ...measures }, Math.ceil(count / chunkFaces), task);
  return measures;
}

interface FaceTask extends FaceMeasures {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
}

export const facePieces: PieceWork<FaceTask> = {
  name: 'faces',
  open: (input) => input,
  take({ positions, triangles, normals, areasMm2, centres }, piece) {
    const [from, to] = rangeOf(piece, chunkFaces, areasMm2.length);
    for (let f = from; f < to; f++) {
      const a = 3 * triangles[3 * f]!;
      const b = 3 * triangles[3 * f + 1]!;
      const c = 3 * triangles[3 * f + 2]!;
      const ux = positions[b]! - positions[a]!;
      const uy = positions[b + 1]! - positions[a + 1]!;
      const uz = positions[b + 2]! - positions[a + 2]!;
      const vx = positions[c]! - positions[a]!;
      const vy = positions[c + 1]! - positions[a + 1]!;
      const vz = positions[c + 2]! - positions[a + 2]!;
      areasMm2[f] = setUnit(normals, f, uz * vy - uy * vz, ux * vz - uz * vx, uy * vx - ux * vy) / 2;
      for (let axis = 0; axis < 3; axis++) {
        centres[3 * f + axis] = positions[a + axis]! + positions[b + axis]! + positions[c + axis]!;
      }
    }
  },
};

/** Normals averaged over neighbours; without rounds those of the faces themselves. */
export async function averagedNormals(
  { normals, areasMm2 }: FaceMeasures,
  triangles: Uint32Array,
  round: FacesRound,
  { rounds, alikeDeg }: Averaging,
  task: TaskOptions,
): Promise<Float64Array> {
  const memory = memoryFor(task);
  const cosAlike = Math.cos((alikeDeg * Math.PI) / 180);
  let last = normals;
  for (let k = 0; k < rounds; k++) {
    const next = new Float64Array(memory(normals.byteLength));
    const input = { triangles, ...round, areasMm2, cosAlike, normals: last, next };
    await inPieces(averagingPieces, input, Math.ceil(areasMm2.length / chunkFaces), task);
    last = next;
  }
  return last;
}

interface AveragingTask extends FacesRound {
  readonly triangles: Uint32Array;
  readonly areasMm2: Float64Array;
  readonly cosAlike: number;
  readonly normals: Float64Array;
  readonly next: Float64Array;
}

export const averagingPieces: PieceWork<AveragingTask> = {
  name: 'normals',
  open: (input) => input,
  take({ triangles, starts, faces, areasMm2, cosAlike, normals, next }, piece) {
    const [from, to] = rangeOf(piece, chunkFaces, areasMm2.length);
    for (let f = from; f < to; f++) {
      let x = 0;
      let y = 0;
      let z = 0;
      for (let corner = 0; corner < 3; corner++) {
        const vertex = triangles[3 * f + corner]!;
        for (let k = starts[vertex]!; k < starts[vertex + 1]!; k++) {
          const g = faces[k]!;
          const like =
            normals[3 * f]! * normals[3 * g]! +
            normals[3 * f + 1]! * normals[3 * g + 1]! +
            normals[3 * f + 2]! * normals[3 * g + 2]!;
          if (like <= cosAlike) continue;
          const weight = areasMm2[g]! * (like - cosAlike);
          x += weight * normals[3 * g]!;
          y += weight * normals[3 * g + 1]!;
          z += weight * normals[3 * g + 2]!;
        }
      }
      setUnit(next, f, x, y, z);
    }
  },
};

/** @param count how many of the triangles are taken: the first ones */
export function facesAtVertices(triangles: Uint32Array, count: number, vertices: number, memory: Memory): FacesRound {
  const starts = new Uint32Array(memory(4 * (vertices + 1)));
  for (let i = 0; i < 3 * count; i++) starts[triangles[i]! + 1]!++;
  for (let v = 0; v < vertices; v++) starts[v + 1]! += starts[v]!;
  const fill = starts.slice();
  const faces = new Uint32Array(memory(12 * count));
  for (let f = 0, i = 0; f < count; f++) {
    for (let corner = 0; corner < 3; corner++) faces[fill[triangles[i++]!]!++] = f;
  }
  return { starts, faces };
}

/** Sets a direction and returns its length; Math.hypot is many times slower. */
function setUnit(normals: Float64Array, f: number, x: number, y: number, z: number): number {
  const length = Math.sqrt(x * x + y * y + z * z);
  if (length === 0) return 0;
  normals[3 * f] = x / length;
  normals[3 * f + 1] = y / length;
  normals[3 * f + 2] = z / length;
  return length;
}
