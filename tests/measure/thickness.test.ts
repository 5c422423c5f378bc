import { describe, expect, test } from 'vitest';
import type { FillBody } from '../../src/cavity/fill-body.js';
import { measureBody } from '../../src/measure/measured-body.js';
import { thicknessAt, thicknessMap, thicknessSummary } from '../../src/measure/thickness.js';
import { checksOf } from '../record.js';
import { ball, bodyOf, bodyOfShape, cone, fillBody, slab, sweep, wedge, withNoise } from './bodies.js';

/** By elementary geometry of the largest ball that touches the wall there (local thickness: Hildebrand, Rüegsegger 1997). */
const tangent = 'ball tangent to wall and scrape surface, elementary geometry';
/** Mesh width of the noise-free bodies. */
const meshMm = 0.5;

async function at(fill: FillBody, ...points: [number, number, number][]): Promise<number[]> {
  return Array.from(thicknessAt(await measureBody(fill), Float64Array.from(points.flat())));
}

const agrees = checksOf(import.meta.url, 'Thickness at stations of bodies that have a formula');

function within(check: string, source: string, ours: number, expected: number, relative: number): void {
  agrees({
    check,
    source,
    unit: 'mm',
    expected,
    ours,
    allowed: relative * expected,
    because: `facets of ${meshMm} mm`,
  });
}

describe('thickness at stations of bodies with known answers', () => {
  test('slab of 2 mm: 2 mm over the floor and close to its corners, 2 h on an upright wall at depth h', async () => {
    const body = bodyOf(slab(40, 30, 2), meshMm);
    for (const [x, y] of [
      [20, 15],
      [0.05, 15.2],
      [0.06, 0.04],
      [39.97, 29.93],
    ] as const) {
      within('slab of 2 mm, floor and corners', tangent, (await at(body, [x, y, -2]))[0]!, 2, 1e-6);
    }
    for (const depth of [0.3, 0.7, 0.95, 1.1, 1.5, 1.97]) {
      within(
        `slab of 2 mm, upright wall ${depth} mm down`,
        tangent,
        (await at(body, [0, 15.1, -depth]))[0]!,
        Math.min(2 * depth, 2),
        1e-6,
      );
    }
  });

  test('half ball of R = 10: 2 R cos t / (1 + cos t) at the angle t from its deepest point', async () => {
    const body = bodyOf(ball(10), meshMm);
    for (const deg of [1, 20, 45, 70, 85]) {
      const t = (deg * Math.PI) / 180;
      const expected = (20 * Math.cos(t)) / (1 + Math.cos(t));
      const place = [10 * Math.sin(t) * 0.6, 10 * Math.sin(t) * 0.8, -10 * Math.cos(t)] as const;
      within(
        `half ball of R = 10, ${deg} degrees from its deepest point`,
        tangent,
        (await at(body, [...place]))[0]!,
        expected,
        0.01,
      );
    }
  });

  test.each([
    [10, 8],
    [10, 3],
    [4, 9],
  ])(
    'cone %d deep, radius %d: the scrape surface, the wall across or the largest ball, whichever is least',
    async (d, r) => {
      const body = bodyOf(cone(d, r), meshMm);
      const half = Math.atan2(r, d);
      const largest = (2 * r * d) / (r + Math.hypot(r, d));
      for (const height of [0.1, 0.3, 0.5, 0.8, 0.95]) {
        const slant = (height * d) / Math.cos(half);
        const underSurface = (2 * d * (1 - height)) / (1 + Math.sin(half));
        // Across the axis the contacts are 180° - 2 x the half angle apart: wall that faces only in steep cones.
        const across = half < Math.PI / 6 ? 2 * slant * Math.tan(half) : Infinity;
        const expected = Math.min(underSurface, across, largest);
        const place = [r * height * 0.6, r * height * 0.8, d * (height - 1)] as const;
        within(
          `cone ${d} deep, radius ${r}, at ${height} of its height`,
          tangent,
          (await at(body, [...place]))[0]!,
          expected,
          0.01,
        );
      }
    },
  );

  test.each([3, 10, 30])('wedge of %d degrees: 2 s tan(a/2) at s from the edge, along the floor', async (deg) => {
    const body = bodyOf(wedge(deg, 20, 40), meshMm);
    const a = (deg * Math.PI) / 180;
    for (const s of [0.25, 0.5, 1, 2, 5, 9]) {
      const ours = (await at(body, [s * Math.cos(a), 20.1, -s * Math.sin(a)]))[0]!;
      within(`wedge of ${deg} degrees, ${s} mm from the edge`, '2 s tan(a/2)', ours, 2 * s * Math.tan(a / 2), 0.01);
    }
  });
});

describe('corners and tubes', () => {
  test('round pit of 6 mm, 20 mm deep: 6 mm on its side, whatever facets the mesh has', async () => {
    for (const meshMm of [0.25, 0.5, 1]) {
      const body = bodyOfShape({ kind: 'disc', radius: 3, depth: 20 }, meshMm);
      for (const deg of [0, 37, 121, 303]) {
        const [x, y] = [3 * Math.cos((deg * Math.PI) / 180), 3 * Math.sin((deg * Math.PI) / 180)];
        // A facet's normal is off by up to half its turn of mesh / radius; a contact 120 degrees on, tan 30° of that.
        const allowed = 0.005 + (meshMm / 6) * Math.tan(Math.PI / 6);
        within(`round pit of 6 mm, facets of ${meshMm} mm`, tangent, (await at(body, [x, y, -10.1]))[0]!, 6, allowed);
      }
    }
  });

  test.each([-15, 0, 30])(
    'a floor 3 mm deep reads 3 mm close to a side wall with %d degrees of draft',
    async (draft) => {
      const out = 3 * Math.tan((draft * Math.PI) / 180);
      const body = bodyOf(
        sweep(
          [
            [-out, 0],
            [0, -3],
            [25, -3],
            [25, 0],
          ],
          30,
        ),
        meshMm,
      );
      for (const x of [0.05, 0.4, 1, 1.4]) {
        within(
          `floor 3 mm deep beside a wall with ${draft} degrees of draft`,
          tangent,
          (await at(body, [x, 15.1, -3]))[0]!,
          3,
          0.001,
        );
      }
    },
  );
});

describe('summary', () => {
  test('slab: minimum, median and maximum are its depth; the rim itself does not count', async () => {
    const body = await measureBody(bodyOf(slab(40, 30, 2), 1));
    const { minMm, medianMm, maxMm } = thicknessSummary(body, await thicknessMap(body));
    for (const mm of [minMm, medianMm, maxMm]) expect(mm).toBeCloseTo(2, 6);
  });

  test('a piece whose every wall is within the feather allowance has neither minimum nor median', async () => {
    const body = { ...(await measureBody(bodyOf(cone(2, 3), 0.5))), allowanceMm: 5 };
    const { minMm, medianMm, maxMm } = thicknessSummary(body, await thicknessMap(body));
    expect([minMm, medianMm]).toEqual([null, null]);
    within('largest ball in a cone 2 deep, radius 3', '2 r d / (r + slant)', maxMm, 12 / (3 + Math.sqrt(13)), 0.005);
  });

  test('the allowance is 6 mm, at most a quarter of the half-width', async () => {
    expect((await measureBody(bodyOf(slab(40, 30, 2)))).allowanceMm).toBeCloseTo(15 / 4, 2);
    expect((await measureBody(bodyOf(slab(100, 80, 2)))).allowanceMm).toBeCloseTo(6, 2);
  });

  test('the map covers the whole wall, and is 0.2 mm or finer at the rim of a coarse mesh', async () => {
    const body = await measureBody(bodyOf(slab(12, 9, 2)));
    const map = await thicknessMap(body);
    expect(map.areaMm2.reduce((sum, a) => sum + a)).toBeCloseTo(12 * 9 + 2 * 2 * (12 + 9), 6);
    for (let f = 0; f < map.partOf.length; f++) {
      if (map.inMm[f]! < 0.1) expect(map.areaMm2[f]).toBeLessThan(0.2 * 0.2);
    }
  });

  test('where the mesh is finer than 0.1 mm at the rim, so is the map', async () => {
    const fill = bodyOf(slab(3, 2, 1), 0.08);
    const map = await thicknessMap(await measureBody(fill));
    expect(map.thicknessMm.length).toBeGreaterThanOrEqual(fill.wallTriangles);
    for (let f = 0; f < map.partOf.length; f++) expect(map.areaMm2[f]).toBeLessThan(0.1 * 0.1);
  });
});

describe('under noise', () => {
  test.each([1, 2, 3])('slab of 2 mm, noise 0.05 mm, seed %d: minimum over 1.8, median 2.00 ± 0.05', async (seed) => {
    const body = await measureBody(withNoise(gridSlab(20, 15, 2, 0.25), 0.05, seed));
    const { minMm, medianMm, maxMm } = thicknessSummary(body, await thicknessMap(body));
    expect(minMm).toBeGreaterThan(1.8);
    expect(Math.abs(medianMm! - 2)).toBeLessThan(0.05);
    expect(maxMm).toBeLessThan(2.2);
  });
});

/** A slab whose floor and walls are regular grids. */
function gridSlab(lengthMm: number, widthMm: number, depthMm: number, stepMm: number): FillBody {
  const positions: number[] = [];
  const triangles: number[] = [];
  const seen = new Map<string, number>();
  const vertex = (x: number, y: number, z: number): number => {
    const key = `${x.toFixed(6)} ${y.toFixed(6)} ${z.toFixed(6)}`;
    const known = seen.get(key);
    if (known !== undefined) return known;
    seen.set(key, seen.size);
    positions.push(x, y, z === 0 ? 0 : z);
    return seen.size - 1;
  };
  const grid = (u: number, v: number, place: (s: number, t: number) => [number, number, number]): void => {
    const [m, n] = [Math.round(u / stepMm), Math.round(v / stepMm)];
    for (let i = 0; i < m; i++) {
      for (let j = 0; j < n; j++) {
        const [a, b, c, d] = [
          vertex(...place(i / m, j / n)),
          vertex(...place((i + 1) / m, j / n)),
          vertex(...place((i + 1) / m, (j + 1) / n)),
          vertex(...place(i / m, (j + 1) / n)),
        ];
        triangles.push(a, b, c, a, c, d);
      }
    }
  };
  const [l, w, d] = [lengthMm, widthMm, depthMm];
  grid(w, l, (s, t) => [t * l, s * w, -d]);
  grid(l, w, (s, t) => [s * l, t * w, 0]);
  grid(l, d, (s, t) => [s * l, 0, (t - 1) * d]);
  grid(d, l, (s, t) => [t * l, w, (s - 1) * d]);
  grid(d, w, (s, t) => [0, t * w, (s - 1) * d]);
  grid(w, d, (s, t) => [l, s * w, (t - 1) * d]);
  return fillBody(Float64Array.from(positions), Uint32Array.from(triangles));
}
