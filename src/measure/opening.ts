import { polygonArea, polygonLength } from '../base/plane-geometry.js';

/** Area, length of all rims and middle of an opening; island loops run clockwise and count negative in the area. */
export function measureOpening(rimLoops: readonly Float64Array[]) {
  let areaMm2 = 0;
  let rimLengthMm = 0;
  let [momentX, momentY] = [0, 0];
  const [ox, oy] = [rimLoops[0]?.[0] ?? 0, rimLoops[0]?.[1] ?? 0];
  for (const loop of rimLoops) {
    areaMm2 += polygonArea(loop);
    rimLengthMm += polygonLength(loop);
    for (let i = 0; i < loop.length; i += 2) {
      const j = (i + 2) % loop.length;
      const [x0, y0, x1, y1] = [loop[i]! - ox, loop[i + 1]! - oy, loop[j]! - ox, loop[j + 1]! - oy];
      const cross = x0 * y1 - x1 * y0;
      momentX += (cross * (x0 + x1)) / 6;
      momentY += (cross * (y0 + y1)) / 6;
    }
  }
  const centreMm: [number, number] = [ox + momentX / areaMm2, oy + momentY / areaMm2];
  return { areaMm2, rimLengthMm, centreMm };
}
