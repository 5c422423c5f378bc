import { describe, expect, test } from 'vitest';
import type { Shape } from '../../fixtures/make/shapes.js';
import type { FillBody } from '../../src/cavity/fill-body.js';
import { measureBody } from '../../src/measure/measured-body.js';
import { edgeTaper } from '../../src/measure/taper.js';
import { thicknessMap } from '../../src/measure/thickness.js';
import { type ThinZone, thinZones } from '../../src/measure/thin-zones.js';
import { bodyOf, bodyOfShape, slab, sweep, wasm } from './bodies.js';

const tearMm = 0.3;

async function zonesOf(fill: FillBody, tear = tearMm): Promise<{ zones: ThinZone[]; allowanceMm: number }> {
  const body = await measureBody(fill);
  const map = await thicknessMap(body);
  const { profile } = await edgeTaper(body);
  return { zones: await thinZones(body, map, profile.samples, tear), allowanceMm: body.allowanceMm };
}

describe('a feather all round', () => {
  test.each([2, 3, 5])('of %d degrees is thin for t / (2 tan(a/2)), along the whole rim', async (angleDeg) => {
    const shape: Shape = { kind: 'feather', radius: 25, angleDeg, featherMm: 12, floorRadius: 9, depth: 4 };
    const { zones } = await zonesOf(bodyOfShape(shape, 0.5));
    expect(zones).toHaveLength(1);
    const reach = tearMm / (2 * Math.tan((angleDeg * Math.PI) / 360));
    expect(Math.abs(zones[0]!.reachMm - reach)).toBeLessThan(0.15);
    expect(Math.abs(zones[0]!.rimSpanMm / (50 * Math.PI) - 1)).toBeLessThan(0.01);
    expect(zones[0]!.inner).toBe(false);
    // The ring of wall under it, from the rim inward.
    const area = (Math.PI * (25 ** 2 - (25 - reach) ** 2)) / Math.cos((angleDeg * Math.PI) / 180);
    expect(Math.abs(zones[0]!.areaMm2 / area - 1)).toBeLessThan(0.04);
  });

  test('steep enough it has no thin zone: upright walls are no feather', async () => {
    expect((await zonesOf(bodyOf(slab(30, 20, 4), 0.5))).zones).toEqual([]);
  });
});

test('only the stretch of rim that is thin too far in is past the allowance', async () => {
  // A trough 60 long: 2 degrees on one long side for half its length, 10 degrees on the rest.
  const side = (deg: number, length: number) => {
    const depth = 12 * Math.tan((deg * Math.PI) / 180);
    return sweep(
      [
        [0, 0],
        [12, -depth],
        [12, -4],
        [40, -4],
        [40, 0],
      ],
      length,
    );
  };
  const body = bodyOf(wasm.Manifold.union(side(2, 30), side(10, 30).translate([0, 30, 0])), 0.5);
  const { zones, allowanceMm } = await zonesOf(body);
  expect(allowanceMm).toBeCloseTo(5, 1);
  const long = zones.filter((zone) => zone.reachMm > allowanceMm);
  expect(long, JSON.stringify(zones)).toHaveLength(1);
  // Along the feather and round the corner, as far as the end wall stands on thin floor.
  const reach = tearMm / (2 * Math.tan(Math.PI / 180));
  expect(Math.abs(long[0]!.rimSpanMm - (30 + reach))).toBeLessThan(2);
  expect(Math.abs(long[0]!.reachMm - reach)).toBeLessThan(0.2);
  expect(long[0]!.atMm[1]).toBeGreaterThan(10);
  expect(long[0]!.atMm[1]).toBeLessThan(20);
});

describe('inner thin spots', () => {
  test('1 mm across in a body of 4 mm is found, with its place and thickness', async () => {
    // A plug with a flat top of 1 mm, 0.2 mm under the scrape surface.
    const plug = wasm.Manifold.cylinder(3.8, 0.9, 0.5, 48).translate([22, 9, -4]);
    const { zones } = await zonesOf(bodyOf(wasm.Manifold.difference(slab(40, 30, 4), plug), 0.5));
    expect(zones).toHaveLength(1);
    const [zone] = zones;
    expect(zone!.inner).toBe(true);
    expect(zone!.minMm).toBeCloseTo(0.2, 2);
    expect(Math.hypot(zone!.atMm[0] - 22, zone!.atMm[1] - 9)).toBeLessThan(0.6);
    expect(zone!.areaMm2).toBeGreaterThan(Math.PI * 0.25 * 0.95);
  });

  test('both sides of a web under an overhang are one spot', async () => {
    // A shelf of mould reaches in, 0.2 mm over a step of the floor.
    const shelf = wasm.Manifold.cube([10, 6, 1]).translate([0, 12, -2.4]);
    const step = wasm.Manifold.cube([8, 6, 1.4]).translate([0, 12, -4]);
    const { zones } = await zonesOf(bodyOf(wasm.Manifold.difference([slab(40, 30, 4), shelf, step]), 0.5));
    expect(zones.filter((zone) => zone.inner)).toHaveLength(1);
    const [zone] = zones.filter((found) => found.inner);
    expect(zone!.minMm).toBeCloseTo(0.2, 2);
    // Floor and ceiling of the web.
    expect(Math.abs(zone!.areaMm2 / (2 * 8 * 6) - 1)).toBeLessThan(0.05);
  });
});
