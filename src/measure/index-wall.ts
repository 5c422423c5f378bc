import { placed } from '../base/memory.js';
import type { TaskOptions } from '../base/source.js';
import type { FillBody } from '../cavity/fill-body.js';
import { emptyCones, fillCones } from './normal-cones.js';
import { memoryFor } from './pieces.js';
import { buildTriangleTree } from './triangle-tree.js';
import { WallIndex } from './wall-index.js';
import { type Averaging, averagedNormals, facesAtVertices, measureFaces } from './wall-normals.js';

type Wall = Pick<FillBody, 'positions' | 'triangles' | 'wallTriangles'>;

/** An index that can be asked already, but for balls that facing wall stops: these only once it is `complete`. */
export interface StartedIndex {
  readonly wall: WallIndex;
  readonly complete: Promise<void>;
}

/** The index over the wall of a fill body, with normals of the faces themselves unless they are to be averaged. */
export async function indexWall(
  body: Wall,
  averaging: Averaging = { rounds: 0, alikeDeg: 0 },
  task: TaskOptions = {},
): Promise<WallIndex> {
  const { wall, complete } = await startIndex(body, averaging, task);
  await complete;
  return wall;
}

/** Its first part: the cones of its nodes are still being made, so that other work can be done meanwhile. */
export async function startIndex(body: Wall, averaging: Averaging, task: TaskOptions): Promise<StartedIndex> {
  const memory = memoryFor(task);
  const positions = placed(body.positions, memory);
  const triangles = placed(body.triangles, memory);
  const measuring = measureFaces(positions, triangles, body.wallTriangles, task);
  const round = facesAtVertices(triangles, body.wallTriangles, positions.length / 3, memory);
  const measures = await measuring;
  const [tree, normals] = await Promise.all([
    buildTriangleTree(positions, triangles, measures.centres, task),
    averagedNormals(measures, triangles, round, averaging, task),
  ]);
  const { cones, angles } = emptyCones(tree, task);
  const complete = fillCones({ tree, triangles, inward: measures.normals, ...round, cones, angles }, task);
  return { wall: new WallIndex({ positions, triangles, tree, ...round, cones, normals }), complete };
}
