import { describe, expect, test } from 'vitest';
import { measureBody } from '../../src/measure/measured-body.js';
import { edgeTaper } from '../../src/measure/taper.js';
import { checksOf } from '../record.js';
import { ball, bodyOf, cone, slab, wasm, wedge } from './bodies.js';

const meshMm = 0.5;
const agrees = checksOf(import.meta.url, 'Edge taper at stations inward');
const within = (check: string, source: string, ours: number, expected: number) =>
  agrees({
    check,
    source,
    unit: 'mm',
    expected,
    ours,
    allowed: 0.01 * expected,
    because: `1 %, facets of ${meshMm} mm`,
  });

describe('edge taper at stations inward from the rim', () => {
  test('upright wall: 2 s until the floor; its edge angle is 90 degrees, over a shallow floor there is none', async () => {
    const { stations, edgeAngleDeg } = await edgeTaper(await measureBody(bodyOf(slab(40, 30, 2), meshMm)));
    expect(edgeAngleDeg).toBeCloseTo(90, 2);
    expect((await edgeTaper(await measureBody(bodyOf(slab(40, 30, 0.3), meshMm)))).edgeAngleDeg).toBeNull();
    expect(stations.map(({ inMm }) => inMm)).toEqual([0.25, 0.5, 1, 2, 3]);
    for (const { inMm, p10Mm, medianMm, p90Mm } of stations) {
      for (const mm of [p10Mm, medianMm, p90Mm]) expect(mm).toBeCloseTo(Math.min(2 * inMm, 2), 4);
    }
    const deep = await edgeTaper(await measureBody(bodyOf(slab(40, 30, 12), meshMm)));
    expect(deep.edgeAngleDeg).toBeCloseTo(90, 2);
  });

  test.each([2, 3, 5, 10, 30])('feather of %d degrees all round: 2 s tan(a/2), and its own angle', async (deg) => {
    const a = (deg * Math.PI) / 180;
    const radius = 12;
    const { stations, edgeAngleDeg } = await edgeTaper(
      await measureBody(bodyOf(cone(radius * Math.tan(a), radius), meshMm)),
    );
    for (const { inMm, p10Mm, p90Mm } of stations) {
      const expected = 2 * inMm * Math.tan(a / 2);
      for (const mm of [p10Mm, p90Mm]) within(`feather of ${deg} degrees, ${inMm} mm in`, '2 s tan(a/2)', mm, expected);
    }
    expect(Math.abs(edgeAngleDeg! - deg)).toBeLessThan(0.05);
  });

  test('half ball: the ball that touches the flat at s and the sphere inside', async () => {
    // Centre at depth r and R - s from the axis; inside touch: (R - s)² + r² = (R - r)².
    const { stations } = await edgeTaper(await measureBody(bodyOf(ball(10), meshMm)));
    for (const { inMm, medianMm } of stations) {
      const expected = (100 - (10 - inMm) ** 2) / 10;
      within(`half ball of R = 10, ${inMm} mm in`, '(R² - (R - s)²) / R, balls that touch', medianMm, expected);
    }
  });

  test('the profile follows the rim: thin along the feather of a wedge, full along its upright walls', async () => {
    const { profile } = await edgeTaper(await measureBody(bodyOf(wedge(5, 20, 30), meshMm)));
    const k = profile.stationsMm.indexOf(1);
    let feather = 0;
    for (let i = 0; i < profile.samples.loop.length; i++) {
      const t = profile.thicknessMm[i * profile.stationsMm.length + k]!;
      const [x, y] = [profile.samples.place[2 * i]!, profile.samples.place[2 * i + 1]!];
      if (x !== 0 || y < 2 || y > 28) continue;
      feather++;
      expect(Math.abs(t / (2 * Math.tan((2.5 * Math.PI) / 180)) - 1)).toBeLessThan(0.01);
    }
    expect(feather).toBeGreaterThan(90);
  });

  test('the rim of an island counts as an edge', async () => {
    const ring = wasm.Manifold.difference(slab(30, 30, 3), slab(8, 8, 5).translate([11, 11, 0]));
    const { profile } = await edgeTaper(await measureBody(bodyOf(ring, meshMm)));
    expect(new Set(profile.samples.loop)).toEqual(new Set([0, 1]));
    const k = profile.stationsMm.indexOf(0.5);
    for (let i = 0; i < profile.samples.loop.length; i++) {
      const t = profile.thicknessMm[i * profile.stationsMm.length + k]!;
      if (!Number.isNaN(t)) expect(t).toBeCloseTo(1, 4);
    }
  });

  test('a piece narrower than the station has no thickness there', async () => {
    const { stations } = await edgeTaper(await measureBody(bodyOf(slab(30, 3, 4), meshMm)));
    expect(stations.map(({ inMm }) => inMm)).toEqual([0.25, 0.5, 1]);
  });
});
