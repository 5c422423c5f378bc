import { describe, expect, test } from 'vitest';
import type { FillBody } from '../../src/cavity/fill-body.js';
import { assumptions, type EdgeSettings, tearThicknessMm } from '../../src/measure/edge-settings.js';
import { measureEdges } from '../../src/measure/measure-edges.js';
import { bodyOf, bodyOfShape, cone, slab, sweep, wasm } from './bodies.js';

async function codes(fill: FillBody, settings: EdgeSettings = {}): Promise<string[]> {
  return (await measureEdges(fill, settings)).findings.map(({ code }) => code);
}

async function message(fill: FillBody, code: string, settings: EdgeSettings = {}): Promise<string> {
  const found = (await measureEdges(fill, settings)).findings.find((finding) => finding.code === code);
  return found?.message ?? 'not found';
}

const tear = { tearNPerMm: 1, pullN: 0.3, safety: 1 };
const feather = (angleDeg: number): FillBody =>
  bodyOfShape({ kind: 'feather', radius: 28, angleDeg, featherMm: 12, floorRadius: 9, depth: 4 }, 1);

describe('thin edges', () => {
  test('cast straight, an edge that stays thin past the allowance is a caution that says by how much to build up', async () => {
    expect(await codes(feather(2), tear)).toEqual(['thin-edge', 'lift-start']);
    const text = await message(feather(2), 'thin-edge', tear);
    // Reach 0.3 / (2 tan 1°); at the allowance of 6 mm it is 12 tan 1° thick.
    expect(text).toContain('under 0.30 mm for 8.6 mm in from the rim, all round');
    expect(text).toContain(
      '6.0 mm in it is 0.21 mm thick: cut the mould there, or build up the sculpt, by 0.09 mm or more, or cast it encapsulated',
    );
  });

  test('a good feather on a deep body has no finding', async () => {
    expect(await codes(feather(5), tear)).toEqual(['lift-start']);
  });

  test('encapsulated, the barrier carries the edge; an inner thin spot is a caution all the same', async () => {
    expect(await codes(feather(2), { ...tear, way: 'encapsulated' })).toEqual(['lift-start']);
    const plug = wasm.Manifold.cylinder(3.8, 0.9, 0.5, 48).translate([22, 9, -4]);
    const spotted = bodyOf(wasm.Manifold.difference(slab(40, 30, 4), plug), 1);
    for (const way of ['straight', 'encapsulated'] as const) {
      expect(await message(spotted, 'thin-inside', { ...tear, way })).toMatch(
        /down to 0\.20 mm over .* at x 22, y 9 mm, tears .*: cut the mould there, or build up the sculpt, by 0\.10 mm or more/,
      );
    }
  });

  test('an edge under three times the noise is not judged', async () => {
    const noisy = { ...feather(2), noiseMm: 0.02 };
    expect(await codes(noisy, tear)).toEqual(['edge-not-shown', 'lift-start']);
    expect(await codes({ ...noisy, noiseMm: 0.01 }, tear)).toContain('thin-edge');
  });

  test('a skin transfer is thin to its middle', async () => {
    const text = await message(
      bodyOfShape({ kind: 'skin', a: 20, b: 14, bevelMm: 5, depth: 0.25 }, 1),
      'thin-edge',
      tear,
    );
    expect(text).toContain('all the way from the rim to the middle');
  });
});

describe('thick rims', () => {
  test('a step shows, whatever the way of casting, and by the limit that was asked for', async () => {
    for (const way of ['straight', 'encapsulated'] as const) {
      const text = await message(bodyOf(slab(30, 20, 4), 1), 'thick-rim', { way });
      expect(text).toContain('0.50 mm thick a quarter of a millimetre in, all round');
    }
    // 2 x 0.25 tan(a/2) is 0.13 mm at 30 degrees.
    const steep = bodyOf(cone(12 * Math.tan(Math.PI / 6), 12), 1);
    expect(await codes(steep)).toContain('thick-rim');
    expect(await codes(steep, { rimStepMm: 0.25 })).not.toContain('thick-rim');
  });

  test('only a stretch of it: how long, and where', async () => {
    const body = bodyOf(
      sweep(
        [
          [0, 0],
          [40, -3],
          [40, 0],
        ],
        200,
      ),
      2,
    );
    expect(await message(body, 'thick-rim')).toMatch(/along 2[78]\d of 480 mm of rim/);
  });
});

describe('undercut, air, hollows, lifting', () => {
  const slot = bodyOfShape(
    { kind: 't-slot', length: 20, slotWidth: 5, slotDepth: 2, chamberWidth: 7, chamberDepth: 3 },
    0.5,
  );

  test('the stretch is held against the elongation, if that is known', async () => {
    expect(await message(slot, 'undercut')).toMatch(
      /neck 5\.0 mm wide holds 0\.12 ml and reaches 1\.0 mm .* about 1\.4 times/,
    );
    const { findings } = await measureEdges(slot, { elongationPct: 90 });
    const found = findings.find(({ code }) => code === 'undercut')!;
    expect(found.severity).toBe('caution');
    expect(found.message).toContain('should not be asked for more than 1.3 times');
    const soft = (await measureEdges(slot, { elongationPct: 600 })).findings.find(({ code }) => code === 'undercut')!;
    expect(soft.severity).toBe('note');
  });

  test('what comes out of an undercut is pulled harder', () => {
    expect(tearThicknessMm({}, false)).toBeCloseTo(0.5 / 1.5, 12);
    expect(tearThicknessMm({}, true)).toBeCloseTo(2 / 1.5, 12);
    expect(tearThicknessMm({ tearNPerMm: 4, pullN: 1, safety: 2 }, true)).toBeCloseTo(0.5, 12);
  });

  test('an air pocket says how large, where, how deep and what to do', async () => {
    const shape = { kind: 'rising-bulb', neckRadius: 3, neckDepth: 3, radius: 7, rise: 2, depth: 9 } as const;
    const text = await message(bodyOfShape(shape, 0.5), 'air-trap');
    expect(text).toMatch(/pocket of 0\.14\d ml, 2\.0 mm high, at x .* 1\.0 mm down: brush a first coat .* massage/);
  });

  test('a narrow deep hollow wants a first coat by brush, a wide or shallow one does not', async () => {
    const withPit = (radius: number, depth: number) =>
      bodyOf(
        wasm.Manifold.union(
          slab(20, 15, 3),
          wasm.Manifold.cylinder(depth + 1, radius, radius, 48).translate([6, 9, -3 - depth]),
        ),
        0.5,
      );
    expect(await message(withPit(0.5, 3), 'narrow-hollow')).toMatch(/1\.0 mm wide and 3\.0 mm deep at x [56], y 9 mm/);
    expect(await codes(withPit(0.5, 0.6))).not.toContain('narrow-hollow');
    expect(await codes(withPit(1, 3))).not.toContain('narrow-hollow');
  });

  test('lifting starts at the strong side; encapsulated on the margin, outside the rim', async () => {
    // A feather along x = 0, a thick upright edge along x = 30 with the same floor depth behind it.
    const body = bodyOf(
      sweep(
        [
          [0, 0],
          [20, -1.2],
          [30, -1.2],
          [30, 0],
        ],
        25,
      ),
      1,
    );
    const straight = await measureEdges(body, { way: 'straight' });
    expect(straight.liftPointMm![0]).toBeGreaterThan(20);
    const inside = await measureEdges(body, { way: 'encapsulated' });
    const [x, y] = inside.liftPointMm!;
    expect(x < 0 || x > 30 || y < 0 || y > 25).toBe(true);
    expect(inside.findings.at(-1)!.message).toContain("never by the silicone's edge");
  });
});

test('assumed numbers are named, given ones are not', () => {
  expect(assumptions({})!.message).toContain('tear strength 1.5 N/mm (--tear)');
  expect(assumptions({ tearNPerMm: 3 })!.message).not.toContain('--tear');
  const all = { way: 'straight', tearNPerMm: 3, pullN: 1, safety: 1, featherMm: 6, rimStepMm: 0.1 } as const;
  expect(assumptions(all)).toBeNull();
});

test('a cancelled task ends with the reason', async () => {
  const abort = new AbortController();
  const going = measureEdges(bodyOf(slab(60, 50, 3), 0.3), {}, { signal: abort.signal });
  setTimeout(() => abort.abort(new Error('enough')), 20);
  await expect(going).rejects.toThrow('enough');
});
