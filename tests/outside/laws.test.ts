import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type CavityPlan, type MadePlate, plateMould } from '../../fixtures/make/plate.js';
import { mulberry32 } from '../../fixtures/make/random.js';
import type { Shape } from '../../fixtures/make/shapes.js';
import {
  type Matrix,
  mirrored,
  moved,
  randomMotion,
  scaled,
  shuffled,
  subdivided,
} from '../../fixtures/make/transform.js';
import type { CavityRecord, SurveyDocument } from '../../src/base/survey-document.js';
import type { TriangleMesh } from '../../src/mesh/triangle-mesh.js';
import { pairs, surveyFile } from './surveyed.js';

const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });

/** Shapes of 8 to 17 mm across and 1 to 5 mm deep: pieces, whatever they are scaled by. */
const anyShape: fc.Arbitrary<Shape> = fc.oneof(
  fc.record({ kind: fc.constant('cap' as const), radius: number(9, 14), depth: number(1.5, 5) }),
  fc.record({ kind: fc.constant('cone' as const), radius: number(4, 8.5), depth: number(1, 4) }),
  fc.record({
    kind: fc.constant('frustum' as const),
    radius: number(5, 8.5),
    floorRadius: number(2, 4.5),
    depth: number(1, 4),
  }),
  fc.record({
    kind: fc.constant('obelisk' as const),
    length: number(9, 15),
    width: number(8, 14),
    floorLength: number(4, 8),
    floorWidth: number(4, 7),
    depth: number(1, 4),
  }),
  fc.record({
    kind: fc.constant('t-slot' as const),
    length: number(10, 15),
    slotWidth: number(5, 8),
    slotDepth: number(1, 2),
    chamberWidth: number(8.5, 12),
    chamberDepth: number(1, 3),
  }),
  fc.record({ kind: fc.constant('ring-groove' as const), radius: number(5.5, 6.5), tube: number(1.7, 2.2) }),
);
const anyCavity = fc.record({ shape: anyShape, turnDeg: number(0, 360), mirror: fc.boolean() });
const anySeed = fc.integer({ min: 1, max: 1e6 });

const places = [
  [32, 34],
  [84, 40],
] as const;

function plate(cavities: readonly Omit<CavityPlan, 'name' | 'x' | 'y'>[]): MadePlate {
  const placed = cavities.map((one, i) => ({ ...one, name: `c${i + 1}`, x: places[i]![0], y: places[i]![1] }));
  return plateMould({ lengthMm: 120, widthMm: 76, blockMm: 16, meshMm: 1.5, cavities: placed });
}

const measures = ['volumeMm3', 'volumeCheckMm3', 'openingAreaMm2', 'rimLengthMm', 'wallAreaMm2', 'depthMm'] as const;
const powers = { volumeMm3: 3, volumeCheckMm3: 3, openingAreaMm2: 2, rimLengthMm: 1, wallAreaMm2: 2, depthMm: 1 };

/** Every measure of every cavity, and the flash band, times a power of the scale. OBJ keeps float64: 1e-5. */
function expectSame(
  document: SurveyDocument,
  other: SurveyDocument,
  made: MadePlate,
  motion?: Matrix,
  scale = 1,
): void {
  const before = pairs(document, made);
  const after = pairs(other, made, motion, 3 * scale);
  for (const [i, { ours }] of before.entries()) {
    const theirs: CavityRecord = after[i]!.ours;
    for (const measure of measures) {
      const expected = ours[measure]! * scale ** powers[measure];
      expect(Math.abs(theirs[measure]! / expected - 1), `${made.truth.cavities[i]!.name} ${measure}`).toBeLessThan(
        1e-5,
      );
    }
    // the band's round joins are cut into chords: 1 %
    expect(Math.abs(theirs.flashAreaMm2! / (ours.flashAreaMm2! * scale ** 2) - 1)).toBeLessThan(0.01);
  }
}

const turn = (mesh: TriangleMesh, seed: number): [TriangleMesh, Matrix] => {
  const motion = randomMotion(mulberry32(seed), 200);
  return [moved(mesh, motion), motion];
};

describe('laws that hold for any plate', () => {
  const runs = { seed: 73, numRuns: 12 };
  const title = (law: string) => `${law} (fast-check, seed ${runs.seed}, ${runs.numRuns} plates)`;

  it(title('turning and moving change no measure'), async () => {
    await fc.assert(
      fc.asyncProperty(fc.tuple(anyCavity, anyCavity), anySeed, async (cavities, seed) => {
        const made = plate(cavities);
        const [mesh, motion] = turn(made.mesh, seed);
        expectSame(await surveyFile(made.mesh, 'obj'), await surveyFile(mesh, 'obj'), made, motion);
      }),
      runs,
    );
  });

  it(title('shuffling and subdividing change no measure'), async () => {
    await fc.assert(
      fc.asyncProperty(fc.tuple(anyCavity, anyCavity), anySeed, async (cavities, seed) => {
        const made = plate(cavities);
        const changed = shuffled(subdivided(made.mesh), mulberry32(seed));
        expectSame(await surveyFile(made.mesh, 'obj'), await surveyFile(changed, 'obj'), made);
      }),
      runs,
    );
  });

  it(title('a mirrored plate has the same measures'), async () => {
    const mirror: Matrix = [-1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1];
    await fc.assert(
      fc.asyncProperty(fc.tuple(anyCavity, anyCavity), async (cavities) => {
        const made = plate(cavities);
        expectSame(await surveyFile(made.mesh, 'obj'), await surveyFile(mirrored(made.mesh), 'obj'), made, mirror);
      }),
      runs,
    );
  });

  it(title('scale s gives s in lengths, s² in areas, s³ in volumes'), async () => {
    await fc.assert(
      fc.asyncProperty(fc.tuple(anyCavity, anyCavity), number(1.01, 3), async (cavities, s) => {
        const made = plate(cavities);
        const grow: Matrix = [s, 0, 0, 0, 0, s, 0, 0, 0, 0, s, 0, 0, 0, 0, 1];
        const larger = await surveyFile(scaled(made.mesh, s), 'obj', { bandMm: 3 * s });
        expectSame(await surveyFile(made.mesh, 'obj'), larger, made, grow, s);
      }),
      runs,
    );
  });

  it(title('the plate of two cavities holds what the plates of each hold'), async () => {
    await fc.assert(
      fc.asyncProperty(anyCavity, anyCavity, async (one, two) => {
        const sum = async (cavities: Parameters<typeof plate>[0]) =>
          (await surveyFile(plate(cavities).mesh, 'obj')).totals;
        const [both, first, second] = [await sum([one, two]), await sum([one]), await sum([two])];
        for (const measure of ['volumeMm3', 'openingAreaMm2'] as const) {
          expect(Math.abs(both[measure]! / (first[measure]! + second[measure]!) - 1)).toBeLessThan(1e-5);
        }
      }),
      runs,
    );
  });
});
