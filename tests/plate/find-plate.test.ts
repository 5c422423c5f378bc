import { describe, expect, it } from 'vitest';
import { analyticPlate } from '../../fixtures/make/analytic-set.js';
import {
  loosePieces,
  type MadePlate,
  type PlatePlan,
  plateMould,
  plateScan,
  sculptClosed,
  sculptOpen,
  sculptShells,
} from '../../fixtures/make/plate.js';
import { mulberry32 } from '../../fixtures/make/random.js';
import { seaGhost } from '../../fixtures/make/sea-ghost.js';
import { type Matrix, moved, noisy, randomMotion, shuffled } from '../../fixtures/make/transform.js';
import { Fault } from '../../src/base/fault.js';
import type { TriangleMesh } from '../../src/mesh/triangle-mesh.js';
import { wasm } from '../measure/bodies.js';
import { surveyFile } from '../outside/surveyed.js';

const plate = { lengthMm: 160, widthMm: 120, blockMm: 16, meshMm: 2 };
const slab = (length: number, width: number, depth: number, x: number, name = `at ${x}`) => ({
  ...{ name, shape: { kind: 'slab', length, width, depth } as const, x, y: 60 },
});
const cap = { name: 'cap', shape: { kind: 'cap', radius: 60, depth: 1 } as const, x: 110, y: 60 };

/** Plates on which the largest flat face is not the land. */
const plans: Record<string, PlatePlan> = {
  'one hollow takes 85 % of it': { ...plate, cavities: [slab(148, 110, 4, 80)] },
  'two floors, each larger than the land': { ...plate, cavities: [slab(68, 108, 3, 40), slab(68, 108, 3, 120)] },
  'nothing deeper than 1 mm': { ...plate, cavities: [slab(40, 30, 0.2, 40), cap] },
  'two small pieces': {
    ...plate,
    cavities: [
      { name: 'tip', shape: { kind: 'cap', radius: 4, depth: 1.5 }, x: 30, y: 40 },
      { name: 'cone', shape: { kind: 'cone', radius: 2.6, depth: 2 }, x: 80, y: 60 },
    ],
  },
};
const forms: [string, string, (plan: PlatePlan) => MadePlate][] = [
  ['mould', 'mould', plateMould],
  ['scan', 'scan', plateScan],
  ['sculpt', 'sculpt', sculptClosed],
  ['sculpt of shells', 'sculpt', (plan) => sculptShells(plan, 1.5)],
  ['pieces', 'pieces', loosePieces],
];
const cases = Object.entries(plans).flatMap(([title, plan]) =>
  forms.map((form) => [form[0], title, plan, form] as const),
);
const placed = ({ mesh }: MadePlate, seed: number) =>
  shuffled(moved(mesh, randomMotion(mulberry32(seed), 60)), mulberry32(seed));

describe('the land is found where it is not the largest flat face', () => {
  // A single loose body may as well be a block: that is asked for, not guessed.
  it.each(cases.filter(([form, , { cavities }]) => form !== 'pieces' || cavities.length > 1))(
    '%s, %s (seed 5)',
    async (_form, _title, plan, [, expected, make]) => {
      const made = make(plan);
      const document = await surveyFile(placed(made, 5), 'stl', { unit: 'mm' });
      expect(document.plate.form).toBe(expected);
      const volumes = document.cavities.map(({ volumeMm3 }) => volumeMm3!).sort((a, b) => a - b);
      const truths = made.truth.cavities.map(({ volumeMm3 }) => volumeMm3).sort((a, b) => a - b);
      expect(volumes.length).toBe(truths.length);
      // the facets, exactly; coordinates in float32: 1e-4
      for (const [i, truth] of truths.entries()) expect(Math.abs(volumes[i]! / truth - 1)).toBeLessThan(1e-4);
    },
  );

  it.each(cases.filter(([form, title]) => ['mould', 'sculpt'].includes(form) && title.match(/85|floors/)))(
    '%s, %s, under noise of 0.05 mm (seed 1)',
    async (_form, _title, plan, [, expected, make]) => {
      const made = make({ ...plan, meshMm: 1, landMeshMm: 1 });
      const mesh = noisy(made.mesh, { sigmaMm: 0.05, seed: 1, along: [0, 0, 1] });
      const document = await surveyFile(placed({ ...made, mesh }, 1), 'stl');
      expect(document.plate.form).toBe(expected);
      expect(document.cavities.length).toBe(made.truth.cavities.length);
      const sum = made.truth.cavities.reduce((all, { volumeMm3 }) => all + volumeMm3, 0);
      expect(Math.abs(document.totals.volumeMm3! / sum - 1)).toBeLessThan(0.006);
    },
  );
});

/** A scan or a sculpt thinned out where it is flat: nearly a million small triangles in the hollows, a land of a few dozen. */
describe('a land of few large triangles beside very many small ones', () => {
  const plan: PlatePlan = {
    ...{ lengthMm: 200, widthMm: 140, blockMm: 16, meshMm: 0.12 },
    cavities: [
      { name: 'cap', shape: { kind: 'cap', radius: 40, depth: 8 }, x: 45, y: 45 },
      { name: 'bowl', shape: { kind: 'ellipsoid', a: 30, b: 20, c: 6, depth: 5 }, x: 140, y: 90 },
      { name: 'small', shape: { kind: 'paraboloid', radius: 12, depth: 4 }, x: 100, y: 30 },
    ],
  };

  it.each([
    ['scan', plateScan, moved],
    ['sculpt', sculptClosed, moved],
    ['scan in no order', plateScan, (mesh: TriangleMesh, m: Matrix) => shuffled(moved(mesh, m), mulberry32(3))],
  ] as const)('%s (seed 3)', async (form, make, place) => {
    const made = make(plan);
    expect(made.mesh.triangles.length / 3).toBeGreaterThan(900_000);
    const document = await surveyFile(place(made.mesh, randomMotion(mulberry32(3), 60)), 'stl', { quick: true });
    expect([document.plate.form, document.cavities.length]).toEqual([form.split(' ')[0], 3]);
    expect(document.plate.lengthMm!).toBeCloseTo(200, 2);
    const sum = made.truth.cavities.reduce((all, { volumeMm3 }) => all + volumeMm3, 0);
    // the facets, exactly; coordinates in float32: 1e-4
    expect(Math.abs(document.totals.volumeMm3! / sum - 1)).toBeLessThan(1e-4);
  });
});

it('flat tops of pieces that share a plane are not taken for a block on a table', async () => {
  const made = sculptOpen(seaGhost());
  const document = await surveyFile(made.mesh, 'stl');
  expect([document.plate.form, document.cavities.length]).toEqual(['sculpt', 9]);
  const pieces = made.truth.cavities
    .filter(({ name }) => !/key|number/.test(name))
    .map(({ volumeMm3 }) => volumeMm3)
    .sort((a, b) => b - a);
  const ours = document.cavities.map(({ volumeMm3 }) => volumeMm3!).sort((a, b) => b - a);
  // the facets, exactly; coordinates in float32: 1e-4
  for (const [i, volume] of ours.entries()) expect(Math.abs(volume / pieces[i]! - 1)).toBeLessThan(1e-4);
});

describe('a sculpt on a board in a box of clay walls', () => {
  const plan = (widthMm: number, heightMm: number, meshMm = 2): PlatePlan => ({
    ...{ lengthMm: 180 + 2 * widthMm, widthMm: 140 + 2 * widthMm, blockMm: 10, meshMm, landMeshMm: 2 },
    // the fixture raises a dam on a mould's land: under zero it stands on the board beside the pieces
    dam: { widthMm, heightMm: -heightMm },
    cavities: analyticPlate().cavities.map((one) => ({ ...one, x: one.x + widthMm, y: one.y + widthMm })),
  });
  const boxes: [number, number, (plan: PlatePlan) => MadePlate][] = [
    [3, 20, sculptOpen],
    [8, 30, sculptClosed],
    [15, 20, sculptClosed],
    [15, 30, sculptOpen],
  ];

  it.each(boxes)(
    '%i mm wide, %i mm high: the walls are left out, and it is said (seed 6)',
    async (width, height, make) => {
      const made = make(plan(width, height));
      const document = await surveyFile(placed(made, 6), 'stl', { unit: 'mm' });
      expect(document.plate.form).toBe('sculpt');
      expect(document.plate.formReason).toMatch(/left out:.* the wall round it$/);
      expect([document.plate.lengthMm, document.plate.widthMm].map((mm) => Math.round(mm!))).toEqual([180, 140]);
      const sorted = (volumes: number[]) => volumes.sort((a, b) => a - b);
      const truths = sorted(made.truth.cavities.map(({ volumeMm3 }) => volumeMm3));
      const ours = sorted(document.cavities.map(({ volumeMm3 }) => volumeMm3!));
      expect(ours.length).toBe(truths.length);
      // the facets, exactly; coordinates in float32: 1e-4
      for (const [i, truth] of truths.entries()) expect(Math.abs(ours[i]! / truth - 1)).toBeLessThan(1e-4);
    },
  );

  it('under noise of 0.05 mm nothing at the foot of the walls is taken for a cavity (seed 2)', async () => {
    const made = sculptOpen(plan(8, 20, 1));
    const mesh = noisy(made.mesh, { sigmaMm: 0.05, seed: 2, along: [0, 0, 1] });
    const document = await surveyFile(mesh, 'stl', { unit: 'mm', quick: true });
    expect([document.plate.form, document.cavities.length]).toEqual(['sculpt', 12]);
    const sum = made.truth.cavities.reduce((all, { volumeMm3 }) => all + volumeMm3, 0);
    expect(Math.abs(document.totals.volumeMm3! / sum - 1)).toBeLessThan(0.006);
  });
});

it('a body in which nothing is hollow ends in a fault of its own, with what to do', async () => {
  const lone = loosePieces({ ...plate, cavities: [slab(148, 110, 4, 80)] });
  const fault = await surveyFile(lone.mesh, 'stl').catch((error: unknown) => error);
  expect(fault).toBeInstanceOf(Fault);
  expect((fault as Fault).code).toBe('no-cavities');
  expect((fault as Fault).remedy).toContain('--form pieces');
});

describe('meshes that are no plate', () => {
  const flat = plateMould({ ...plate, cavities: [] }).mesh;
  const triangle = { positions: Float64Array.of(0, 0, 0, 200, 0, 0, 0, 150, 0), triangles: Uint32Array.of(0, 1, 2) };

  it.each([
    ['one triangle', 'too-few-triangles', triangle],
    ['a ball', 'no-plate', ball(100, 40)],
    ['a block without a hollow', 'no-cavities', flat],
  ])('%s: %s', async (_, code, mesh) => {
    const fault = await surveyFile(mesh, 'stl').catch((error: unknown) => error);
    expect(fault).toBeInstanceOf(Fault);
    expect((fault as Fault).code).toBe(code);
    expect((fault as Fault).kind).toBe('input');
  });
});

/** A ball by degrees of latitude and longitude. */
function ball(radius: number, rings: number) {
  const across = 2 * rings;
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let i = 0; i <= rings; i++) {
    for (let j = 0; j < across; j++) {
      const [down, round] = [(Math.PI * i) / rings, (Math.PI * j) / rings];
      positions.push(radius * Math.sin(down) * Math.cos(round), radius * Math.sin(down) * Math.sin(round));
      positions.push(radius * Math.cos(down));
      if (i === rings) continue;
      const [a, b] = [i * across + j, i * across + ((j + 1) % across)];
      if (i > 0) triangles.push(a, a + across, b);
      if (i < rings - 1) triangles.push(b, a + across, b + across);
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

/** The mould with squares cut into its back, as a label or a number is. */
function labelled(made: MadePlate, count: number, sideMm: number, deepMm: number): MadePlate {
  const { Manifold, Mesh } = wasm;
  const { positions, triangles } = made.mesh;
  const mould = new Manifold(
    new Mesh({ numProp: 3, vertProperties: Float32Array.from(positions), triVerts: triangles.slice() }),
  );
  const [x, y, z] = mould.boundingBox().min;
  const squares = Array.from({ length: count }, (_, i) =>
    Manifold.cube([sideMm, sideMm, 2 * deepMm], true).translate([x! + 30 + i * (sideMm + 3), y! + 60, z!]),
  );
  const { numProp, vertProperties, triVerts } = Manifold.difference([mould, ...squares]).getMesh();
  expect(numProp).toBe(3);
  return { ...made, mesh: { positions: Float64Array.from(vertProperties), triangles: triVerts } };
}

describe('a mould whose back has a label cut into it is read from its face', () => {
  const pieces = analyticPlate();
  it.each([
    ['six letters of 8 mm, 0.6 mm deep', 6, 8, 0.6],
    ['one field of 40 mm, 3 mm deep', 1, 40, 3],
    ['three pockets of 28 mm, 5 mm deep', 3, 28, 5],
  ])('%s (seed 5)', async (_title, count, sideMm, deepMm) => {
    const made = plateMould(pieces);
    const document = await surveyFile(placed(labelled(made, count, sideMm, deepMm), 5), 'stl', { unit: 'mm' });
    expect(document.plate.form).toBe('mould');
    expect(document.plate.formReason).toMatch(/its back and what is cut into them/);
    const volumes = document.cavities.map(({ volumeMm3 }) => volumeMm3!).sort((a, b) => a - b);
    const truths = made.truth.cavities.map(({ volumeMm3 }) => volumeMm3).sort((a, b) => a - b);
    expect(volumes.length).toBe(truths.length);
    volumes.forEach((volume, i) => {
      expect(Math.abs(volume / truths[i]! - 1)).toBeLessThan(1e-4);
    });
  });
});
