import { beforeAll, describe, expect, test } from 'vitest';
import { type MadePlate, plateMould } from '../../fixtures/make/plate.js';
import { mulberry32 } from '../../fixtures/make/random.js';
import { type Shape, trappedByRisingCeiling } from '../../fixtures/make/shapes.js';
import { type Matrix, motion, moved, noisy, randomMotion } from '../../fixtures/make/transform.js';
import { toBinaryStl } from '../../fixtures/make/write.js';
import { bytesSource } from '../../src/base/source.js';
import type { CavityRecord } from '../../src/base/survey-document.js';
import { type SurveyResult, survey } from '../../src/survey.js';
import { checksOf } from '../record.js';

type Place = readonly [x: number, y: number, z: number];

interface Known {
  readonly shape: Shape;
  /** Stations on the wall, in the shape's own frame. */
  readonly stations: readonly Place[];
  /** Thickness of the shape at a place of its wall. */
  readonly thickness: (x: number, y: number, z: number) => number;
  /** Thickness of the edge at a distance inward, where it is the same all round. */
  readonly taper?: (inMm: number) => number;
  readonly largestMm?: number;
}

const { abs, atan2, cos, hypot, min, PI, sin, sqrt, tan } = Math;

/** A wall and its foot at a few turns round the axis, where the facets lie otherwise each time. */
const round = (radius: number, z: number): Place[] => [0, 1.1, 2.9].map((a) => [radius * cos(a), radius * sin(a), z]);

/** A feather that falls from x = -length/2: 2 s tan(a/2) at s along the floor. */
function wedge(angleDeg: number, length: number, inMm: readonly number[]): Known {
  const a = (angleDeg * PI) / 180;
  return {
    shape: { kind: 'wedge', length, width: 12, angleDeg, featherMm: length, depth: length * tan(a) },
    stations: inMm.map((u) => [u - length / 2, 0.3, -u * tan(a)]),
    thickness: (x) => ((2 * (x + length / 2)) / cos(a)) * tan(a / 2),
  };
}

/** Bulb: neck of 3, chamber of 6, ceiling rising by 1.5 over them. A ball on the floor meets the lip or the ceiling. */
function underCeiling(x: number, y: number): number {
  const out = hypot(x, y) - 3;
  const slope = atan2(1.5, 3);
  const touchingCeiling = (sin(slope) * out + cos(slope) * 3.5) / (1 + cos(slope));
  const along = cos(slope) * out + sin(slope) * (touchingCeiling - 3.5);
  return 2 * (along > 0 ? touchingCeiling : (out * out + 3.5 * 3.5) / (2 * 3.5));
}

const known: Readonly<Record<string, Known>> = {
  slab: {
    shape: { kind: 'slab', length: 14, width: 10, depth: 2 },
    stations: [
      ...([0, 3, 6.4] as const).map((x): Place => [x, 0.2, -2]),
      ...([0.4, 0.8, 1.6] as const).map((h): Place => [1, -5, -h]),
    ],
    thickness: (_x, _y, z) => min(2, -2 * z),
    taper: (s) => min(2, 2 * s),
    largestMm: 2,
  },
  'wedge 3': wedge(3, 16, [1, 2, 4, 7, 10]),
  'wedge 10': wedge(10, 14, [0.5, 1, 2, 4, 7]),
  'wedge 30': wedge(30, 10, [0.5, 1, 2, 4]),
  cone: {
    shape: { kind: 'cone', radius: 6, depth: 5 },
    stations: [5, 4, 3, 2].flatMap((r) => round(r, -5 + (5 * r) / 6)),
    // The scrape surface, or the largest ball, whichever is less: its walls do not face each other.
    thickness: (x, y) => min(60 / (6 + hypot(6, 5)), (10 * (1 - hypot(x, y) / 6)) / (1 + 6 / hypot(6, 5))),
    taper: (s) => 2 * s * tan(atan2(5, 6) / 2),
    largestMm: 60 / (6 + hypot(6, 5)),
  },
  cap: {
    shape: { kind: 'cap', radius: 10, depth: 4 },
    stations: [7.5, 6, 4, 2, 0.5].flatMap((r) => round(r, 6 - sqrt(100 - r * r))),
    thickness: (x, y) => {
      const up = sqrt(100 - x * x - y * y);
      return min(4, (2 * (up - 6)) / (1 + up / 10));
    },
    // Flat at s and ball of 10 from inside: (8 - s)² + (6 + r)² = (10 - r)².
    taper: (s) => (64 - (8 - s) ** 2) / 16,
    largestMm: 4,
  },
  't-slot': {
    shape: { kind: 't-slot', length: 16, slotWidth: 4, slotDepth: 2, chamberWidth: 8, chamberDepth: 2.5 },
    stations: [
      ...([3.2, 2.6, 1, 0.8] as const).map((x): Place => [x, 0.3, -4.5]),
      [3, 1, -2],
      [2, 1, -0.5],
      [2, 1, -0.9],
    ],
    thickness: (x, _y, z) => {
      if (z > -1.9) return -2 * z;
      // On the floor: under the ceiling its distance, under the slot the ball that meets the slot's edge.
      return abs(x) > 2 ? 2.5 : ((2 - abs(x)) ** 2 + 2.5 ** 2) / 2.5;
    },
    taper: (s) => 2 * s,
    // In the middle of the chamber, between the floor and both edges of the slot.
    largestMm: (4 + 2.5 ** 2) / 2.5,
  },
  bulb: {
    shape: { kind: 'rising-bulb', neckRadius: 3, neckDepth: 2.5, radius: 6, rise: 1.5, depth: 6 },
    stations: [...[1.5, 2.5, 3.5, 4.2, 5].flatMap((r) => round(r, -6)), ...round(3, -0.5), ...round(3, -1.2)],
    thickness: (x, y, z) => (z > -2 ? -2 * z : underCeiling(x, y)),
    taper: (s) => 2 * s,
    largestMm: 6,
  },
  ring: {
    shape: { kind: 'ring-slab', radius: 8, islandRadius: 3, depth: 2 },
    stations: [...round(4, -2), ...round(6.5, -2), ...round(8, -0.6), ...round(3, -0.6), ...round(3, -1.4)],
    thickness: (_x, _y, z) => min(2, -2 * z),
    taper: (s) => min(2, 2 * s),
    largestMm: 2,
  },
};

const agrees = checksOf(import.meta.url, 'Known answers of edges, through the survey of a file');

const made: MadePlate = plateMould({
  ...{ lengthMm: 134, widthMm: 52, blockMm: 12, meshMm: 0.25, landMeshMm: 0.25 },
  cavities: Object.entries(known).map(([name, { shape }], i) => {
    return { name, shape, x: 17 + 25 * (i % 5), y: i < 5 ? 38 : 14 };
  }),
});
const still = motion([0, 0, 1], 0);
const turn = randomMotion(mulberry32(5), 50);

/** One seed in the usual run; `SEEDS=5 npx vitest run tests/measure/known-answers` for more. */
const noisySeeds = Array.from({ length: Number(process.env.SEEDS ?? 1) }, (_, i) => {
  return [`noise of 0.02 mm to all sides, seed ${i + 1}`, 0.02, still, 0.05, i + 1] as const;
});

describe.each([['as made', 0, still, 0.02, 0], ['turned', 0, turn, 0.02, 0], ...noisySeeds] as const)(
  '%s, through the survey of a file',
  (_, sigmaMm, placed: Matrix, within, seed) => {
    let result: SurveyResult;
    beforeAll(async () => {
      const mesh = moved(sigmaMm > 0 ? noisy(made.mesh, { sigmaMm, seed }) : made.mesh, placed);
      result = await survey(bytesSource('known.stl', toBinaryStl(mesh)));
    }, 120_000);

    const inPlate = ([x, y, z]: Place): Float64Array => {
      const point = { positions: Float64Array.of(x, y, z), triangles: new Uint32Array() };
      return moved(moved(point, placed), result.document.plate.toPlate!).positions;
    };
    function cavityOf(name: string) {
      const { x, y } = made.truth.cavities.find((truth) => truth.name === name)!;
      const [px, py] = inPlate([x, y, 0]);
      const i = result.document.cavities.findIndex(({ centreMm }) => hypot(centreMm[0] - px!, centreMm[1] - py!) < 1.5);
      return { x, y, record: result.document.cavities[i] as CavityRecord, ...result.cavities[i]! };
    }
    const near = (actual: number | null, expected: number, what: string, unit: string, share: number = within) =>
      agrees({
        check: `${what}${sigmaMm > 0 ? ', noise of 0.02 mm' : ''}`,
        ...{ source: 'elementary geometry of the shape', unit, expected, ours: actual!, allowed: share * expected },
        because: `facets of 0.25 mm: ${100 * share} %`,
      });

    test.each(Object.keys(known))('%s: thickness at stations of the wall', (name) => {
      const { stations, thickness } = known[name]!;
      const cavity = cavityOf(name);
      const { positions, triangles, thicknessMm } = cavity.thickness!;
      // Under noise a station is a spot of 1.2 mm: a point is off by what the smoothing leaves of the noise.
      const aroundMm = sigmaMm > 0 ? 0.6 : 0.3;
      for (const station of stations) {
        // What is thinner than three times the noise no scan shows.
        if (thickness(...station) < 3 * sigmaMm) continue;
        const [x, y, z] = inPlate([station[0] + cavity.x, station[1] + cavity.y, station[2]]);
        const [zero, along, across] = [[0, 0, 0] as const, [1, 0, 0] as const, [0, 1, 0] as const].map(inPlate);
        const shares: number[] = [];
        for (let f = 0; f < thicknessMm.length; f++) {
          const middle = [0, 1, 2].map((axis) => {
            const corner = (k: number) => positions[3 * triangles[3 * f + k]! + axis]!;
            return (corner(0) + corner(1) + corner(2)) / 3;
          });
          const [dx, dy, dz] = [middle[0]! - x!, middle[1]! - y!, middle[2]! - z!];
          if (hypot(dx, dy, dz) > aroundMm) continue;
          // Back into the shape's own frame: the plate frame only turns it about the upright axis.
          const u = dx * (along![0]! - zero![0]!) + dy * (along![1]! - zero![1]!);
          const v = dx * (across![0]! - zero![0]!) + dy * (across![1]! - zero![1]!);
          shares.push(thicknessMm[f]! / thickness(station[0] + u, station[1] + v, middle[2]!));
        }
        expect(shares.length, `faces at ${station}`).toBeGreaterThan(2);
        shares.sort((a, b) => a - b);
        near(shares[shares.length >> 1]!, 1, `${name}: thickness at ${station}, ours to the true one`, '');
        // Without noise every single face, not their median alone.
        for (const share of sigmaMm === 0 ? shares : []) {
          near(share, 1, `${name}: thickness of each face at ${station}, ours to the true one`, '');
        }
      }
    });

    test.each(Object.keys(known))('%s: taper at stations inward, largest ball', (name) => {
      const { taper, largestMm, shape } = known[name]!;
      const { record, profile, x: cx, y: cy } = cavityOf(name);
      if (largestMm !== undefined) near(record.thickness!.maxMm, largestMm, `${name}: largest ball`, 'mm');
      if (taper !== undefined) {
        for (const { inMm, medianMm } of record.thickness!.taper!) {
          near(medianMm, taper(inMm), `${name}: taper ${inMm} mm in`, 'mm');
        }
      } else if (shape.kind === 'wedge') {
        const a = (shape.angleDeg * PI) / 180;
        const { samples, stationsMm, thicknessMm } = profile!;
        const [x, y] = inPlate([cx - shape.length / 2, cy, 0]);
        stationsMm.forEach((inMm, k) => {
          const expected = 2 * inMm * tan(a / 2);
          if (expected < 3 * sigmaMm) return;
          const along = Array.from(samples.loop.keys())
            .filter((i) => hypot(samples.place[2 * i]! - x!, samples.place[2 * i + 1]! - y!) < 2.5)
            .map((i) => thicknessMm[i * stationsMm.length + k]!)
            .sort((p, q) => p - q);
          expect(along.length).toBeGreaterThan(12);
          near(along[along.length >> 1]!, expected, `${name}: taper ${inMm} mm in`, 'mm');
        });
      }
    });

    test('T-slot and bulb: what is hidden, how far it reaches, neck and stretch; nothing elsewhere', () => {
      for (const name of Object.keys(known)) {
        const { volumeMm3, overhangMm, neckMm, stretchPct } = cavityOf(name).record.undercut!;
        if (name === 't-slot') {
          near(volumeMm3, 16 * 4 * 2.5, 't-slot: hidden', 'mm³', sigmaMm === 0 ? 0.01 : within);
          near(overhangMm, 2, 't-slot: overhang', 'mm');
          near(neckMm, 4, 't-slot: neck', 'mm');
          near(stretchPct, (100 * (8 - 4)) / 4, 't-slot: stretch', '%');
        } else if (name === 'bulb') {
          near(
            volumeMm3,
            PI * (36 - 9) * 3.5 + trappedByRisingCeiling(3, 6, 1.5),
            'bulb: hidden',
            'mm³',
            sigmaMm === 0 ? 0.01 : within,
          );
          near(overhangMm, 3, 'bulb: overhang', 'mm');
          near(neckMm, 6, 'bulb: neck', 'mm');
          near(stretchPct, (100 * (12 - 6)) / 6, 'bulb: stretch', '%');
        } else expect(volumeMm3, name).toBe(0);
      }
    });

    test("only the bulb keeps air: the ring over its neck's lower edge (Pappus)", () => {
      for (const name of Object.keys(known)) {
        const { airTraps } = cavityOf(name).record;
        expect(airTraps, name).toHaveLength(name === 'bulb' ? 1 : 0);
        if (name === 'bulb')
          near(airTraps![0]!.volumeMm3, trappedByRisingCeiling(3, 6, 1.5), 'bulb: air that stays (Pappus)', 'mm³');
      }
    });

    test('no thin spot, hollow or edge is found that is not there', () => {
      const about = (code: string) =>
        result.document.findings.filter((found) => found.code === code).map(({ cavity }) => cavity);
      expect(about('thin-inside')).toEqual([]);
      expect(about('narrow-hollow')).toEqual([]);
      const thin = ['wedge 3', 'wedge 10'].map((name) => cavityOf(name).record.number);
      expect(about('thin-edge').sort()).toEqual(thin.sort());
      for (const { thinZones } of result.document.cavities) expect(thinZones!.some(({ inner }) => inner)).toBe(false);
    });
  },
);
