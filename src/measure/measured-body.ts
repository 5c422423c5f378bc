import type { TaskOptions } from '../base/source.js';
import type { FillBody } from '../cavity/fill-body.js';
import { startIndex } from './index-wall.js';
import { type Ball, largestBall } from './largest-ball.js';
import { largestCircle } from './largest-circle.js';
import { RimIndex } from './rim-index.js';
import type { WallIndex } from './wall-index.js';

/** A fill body with what every measure of its edges and thickness asks for. */
export interface MeasuredBody {
  readonly fill: FillBody;
  readonly wall: WallIndex;
  readonly rim: RimIndex;
  /** Inward unit normals of the wall triangles, averaged over neighbours where the mesh is noisy: stride 3. */
  readonly normals: Float64Array;
  readonly largestBall: Ball;
  /** Radius of the largest circle inside the opening. */
  readonly halfWidthMm: number;
  /** How wide an edge may taper. */
  readonly allowanceMm: number;
}

/** How wide an edge may taper, unless a quarter of the piece's half-width is less: common practice, no source. */
export const defaultFeatherMm = 6;

/**
 * Normals are averaged over neighbours: on a clean mesh once, over the facets of a curve; under noise twice, over all
 * that no true edge of the form parts. Noise of a fifth of the edge length is so quieted to a few degrees.
 */
const averaging = { clean: { rounds: 1, alikeDeg: 10 }, noisy: { rounds: 2, alikeDeg: 60 } };

export async function measureBody(
  fill: FillBody,
  featherMm = defaultFeatherMm,
  task: TaskOptions = {},
): Promise<MeasuredBody> {
  const { wall, complete } = await startIndex(fill, fill.noiseMm > 0 ? averaging.noisy : averaging.clean, task);
  const largest = largestBall(wall);
  const rim = RimIndex.ofLoops(fill.rimLoops);
  const halfWidthMm = largestCircle(rim).diameterMm / 2;
  await complete;
  return {
    fill,
    wall,
    rim,
    normals: wall.parts.normals,
    largestBall: largest,
    halfWidthMm,
    allowanceMm: Math.min(featherMm, halfWidthMm / 4),
  };
}
