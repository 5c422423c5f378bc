import { intoFrame, normalized, type Vec3 } from '../mesh/rigid.js';
import type { LandPlane } from './land-fit.js';

/** The motion that lays a nearly level plane into z = 0. */
export function level(land: Pick<LandPlane, 'slopeX' | 'slopeY' | 'height'>): number[] {
  const z = normalized([-land.slopeX, -land.slopeY, 1]);
  const x = normalized([1, 0, land.slopeX]);
  const y: Vec3 = [z[1] * x[2] - z[2] * x[1], z[2] * x[0] - z[0] * x[2], z[0] * x[1] - z[1] * x[0]];
  return intoFrame(x, y, z, [0, 0, land.height]);
}
