import { polygonArea, polygonLength } from '../base/plane-geometry.js';

/** Area, length of all rims and middle of an opening; island loops run clockwise and count negative in the area. */
export function measureOpening(rimLoops: readonly Float64Array[]) {
  let areaMm2 = 0;
  let rimLengthMm = 0;
  let momentX = 0;
  let momentY = 0;
  const ox = rimLoops[0]?.[0] ?? 0;
  const oy = rimLoops[0]?.[1] ?? 0;
  for (const loop of rimLoops) {
    areaMm2 += polygonArea(loop);
    rimLengthMm += polygonLength(loop);
    for (let i = 0; i < loop.length; i += 2) {
      const j = i + 2 < loop.length ? i + 2 : 0;
      const x0 = loop[i]! - ox;
      const y0 = loop[i + 1]! - oy;
      const x1 = loop[j]! - ox;
      const y1 = loop[j + 1]! - oy;
      const cross = x0 * y1 - x1 * y0;
      momentX += (cross * (x0 + x1)) / 6;
      momentY += (cross * (y0 + y1)) / 6;
    }
  }
  const centreMm: [number, number] = [ox + momentX / areaMm2, oy + momentY / areaMm2];
  return { areaMm2, rimLengthMm, centreMm };
}
