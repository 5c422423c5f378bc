import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { analyticPlate } from '../../fixtures/make/analytic-set.js';
import { type CavityPlan, type PlatePlan, plateMould } from '../../fixtures/make/plate.js';
import { mulberry32 } from '../../fixtures/make/random.js';
import { seaGhost } from '../../fixtures/make/sea-ghost.js';
import type { Shape } from '../../fixtures/make/shapes.js';
import { type Matrix, motion, moved, noisy, shuffled } from '../../fixtures/make/transform.js';
import { toBinaryStl, toObj } from '../../fixtures/make/write.js';
import { bytesSource } from '../../src/base/source.js';
import type { SurveyDocument } from '../../src/base/survey-document.js';
import { compose } from '../../src/mesh/rigid.js';
import type { TriangleMesh } from '../../src/mesh/triangle-mesh.js';
import { type NameList, readNames } from '../../src/reading/name-list.js';
import { namesCsv } from '../../src/sheet/names-csv.js';
import { survey } from '../../src/survey.js';
import { pairs } from '../outside/surveyed.js';

const surveyed = async (mesh: TriangleMesh, options: { names?: NameList; format?: 'obj' | 'stl' } = {}) => {
  const bytes = options.format === 'obj' ? toObj(mesh, { digits: 5 }) : toBinaryStl(mesh);
  const { document } = await survey(bytesSource(`plate.${options.format ?? 'stl'}`, bytes), {
    quick: true,
    names: options.names,
  });
  return document;
};

/** What a second scan does to a mesh: noise of 0.02 mm across the plate, a new order, and the plate lies elsewhere. */
function rescanned(mesh: TriangleMesh, turnDeg: number, seed: number): { mesh: TriangleMesh; matrix: Matrix } {
  const tilt = motion([1, 2, 0], 25, [30, -700, 12]);
  const matrix = compose([...tilt], [...motion([0, 0, 1], turnDeg)]);
  const worn = noisy(shuffled(mesh, mulberry32(seed)), { sigmaMm: 0.02, seed, along: [0, 0, 1] });
  return { mesh: moved(worn, matrix), matrix };
}

const nameCodes = ({ findings }: SurveyDocument) =>
  findings.map(({ code }) => code).filter((code) => /name|side|mirror/.test(code));

/** A plan whose list is written from the names of the file's objects, and read again for a scan without any. */
async function keepsNames(plan: PlatePlan, turnDeg: number, seed: number): Promise<void> {
  const made = plateMould(plan);
  const first = await surveyed(made.mesh, { format: 'obj' });
  const again = rescanned(made.mesh, turnDeg, seed);
  const second = await surveyed(again.mesh, { names: readNames(namesCsv(first)) });
  // by the maker's truth, not by our own match: what lies where the maker put the piece
  const pieces = made.truth.cavities.filter(({ name }) => !/^(key|number)/.test(name));
  const truth = { ...made, truth: { ...made.truth, cavities: pieces } };
  expect(pairs(first, truth).map(({ ours }) => ours.name)).toEqual(pieces.map(({ name }) => name));
  expect(pairs(second, truth, again.matrix).map(({ ours }) => ours.name)).toEqual(pieces.map(({ name }) => name));
  expect(second.cavities.map(({ name }) => name)).not.toEqual(first.cavities.map(({ name }) => name));
  expect(nameCodes(second)).toEqual([]);
}

describe('a scan that lies the other way round keeps all names', () => {
  it('twelve analytic cavities, turned by 180 degrees (noise seed 5)', async () => {
    await keepsNames(analyticPlate({ landMeshMm: 2.5 }), 180, 5);
  });

  it('the demo, turned by 178 degrees (noise seed 6)', async () => {
    await keepsNames(seaGhost(), 178, 6);
  });
});

const wedge: Shape = { kind: 'wedge', length: 26, width: 14, angleDeg: 14, featherMm: 6, depth: 4 };
const disc: Shape = { kind: 'frustum', radius: 9, floorRadius: 7, depth: 3 };

/** A square plate with cavities at the corners of a square round its middle. */
function square(cavities: readonly Omit<CavityPlan, 'x' | 'y'>[], lengthMm = 120): PlatePlan {
  const corners = [
    [-30, 30],
    [30, 30],
    [-30, -30],
    [30, -30],
  ] as const;
  const placed = cavities.map((cavity, i) => ({
    ...cavity,
    x: lengthMm / 2 + corners[i]![0],
    y: 60 + corners[i]![1],
  }));
  return { lengthMm, widthMm: 120, blockMm: 15, meshMm: 1.2, landMeshMm: 2, cavities: placed };
}

describe('a square plate', () => {
  const named = ['a', 'b', 'c', 'd'];
  const odd = square(named.map((name, i) => ({ name, shape: i === 0 ? wedge : ({ ...disc, depth: 2 + i } as Shape) })));

  it.each([90, 180, 270])('keeps its names over %i degrees', async (turnDeg) => {
    await keepsNames(odd, turnDeg, turnDeg);
  });

  it('of four equal cavities: nothing is guessed', async () => {
    const { mesh } = plateMould(square(named.map((name) => ({ name, shape: disc }))));
    const first = await surveyed(mesh, { format: 'obj' });
    expect(first.cavities.map(({ name }) => name).toSorted()).toEqual(named);
    const list = readNames(namesCsv(first));
    const second = await surveyed(rescanned(mesh, 90, 7).mesh, { names: list });
    expect(second.cavities.map(({ name }) => name)).toEqual(['cavity-1', 'cavity-2', 'cavity-3', 'cavity-4']);
    expect(nameCodes(second)).toEqual(['names-ambiguous']);
    expect(second.findings.find(({ code }) => code === 'names-ambiguous')!.message).toContain('turned by 90°');
    // The same bytes are certain, however alike the cavities are.
    const same = await surveyed(mesh, { format: 'obj', names: list });
    expect(same.cavities.map(({ name }) => name)).toEqual(first.cavities.map(({ name }) => name));
  });
});

describe('left and right', () => {
  /** Bent like this, the wedge is not its own mirror image. */
  const leaf: CavityPlan['warp'] = (x, y, z) => [x + 0.25 * y + 0.012 * y * y, y, z];
  const side = (name: string, mirror: boolean) => ({ name, shape: wedge, mirror, warp: leaf });
  const plan = (left: string, right: string): PlatePlan => {
    const { cavities, ...rest } = square([side(left, false), side(right, true)], 160);
    // In one row through the middle, so that each lies where half a turn puts the other.
    return { ...rest, cavities: cavities.map((cavity) => ({ ...cavity, y: 60 })) };
  };

  it('mirror images keep their sides when the plate is turned by 180 degrees (noise seed 9)', async () => {
    await keepsNames(plan('brow left', 'brow right'), 180, 9);
  });

  it('both named left: said', async () => {
    const document = await surveyed(plateMould(plan('brow left', 'horn L')).mesh, { format: 'obj' });
    expect(nameCodes(document)).toEqual(['mirrored-same-side']);
  });

  it('both under one name: said', async () => {
    const document = await surveyed(plateMould(plan('', '')).mesh, { names: readNames('brow\nbrow') });
    expect(document.cavities.map(({ name }) => name)).toEqual(['brow', 'brow']);
    expect(nameCodes(document)).toEqual(['mirrored-same-name']);
  });

  it('one without a side: said, with the side it should have', async () => {
    const document = await surveyed(plateMould(plan('brow', 'brow R')).mesh, { format: 'obj' });
    expect(nameCodes(document)).toEqual(['mirrored-without-side']);
    expect(document.findings.find(({ code }) => code === 'mirrored-without-side')!.message).toContain('named left');
  });

  it('the same piece twice, but named left and right: said', async () => {
    const { cavities, ...rest } = plan('brow left', 'brow right');
    const twice = { ...rest, cavities: cavities.map((cavity) => ({ ...cavity, mirror: false })) };
    expect(nameCodes(await surveyed(plateMould(twice).mesh, { format: 'obj' }))).toEqual(['same-shape-opposite-sides']);
  });

  it('the sides of the demo agree with its shapes, and its objects give the names', async () => {
    const demo = new Uint8Array(readFileSync(new URL('../../fixtures/demo/sea-ghost.obj', import.meta.url)));
    const { document } = await survey(bytesSource('sea-ghost.obj', demo), { quick: true });
    expect(document.cavities.map(({ name }) => name)).toEqual([
      ...['brow left', 'brow right', 'gill fan', 'chin plate', 'barnacle', 'ear tip left', 'ear tip right'],
      ...['scar', 'skin transfer'],
    ]);
    expect(nameCodes(document)).toEqual([]);
  });
});
