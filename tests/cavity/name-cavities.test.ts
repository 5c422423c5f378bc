import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { mulberry32 } from '../../fixtures/make/random.js';
import { type NamelessCavity, nameCavities } from '../../src/cavity/name-cavities.js';
import type { NameEntry, NameList } from '../../src/reading/name-list.js';
import { type Layout, listOf, mirrorTwin, plateOf, randomCavity, randomLayout, rescan } from './layouts.js';

const byPlace = (entries: readonly NameEntry[]): NameList => ({ by: 'place', entries, findings: [] });
const name = (entries: readonly NameEntry[], layout: Layout) =>
  nameCavities(byPlace(entries), layout.cavities, plateOf(layout));
const codes = (findings: readonly { code: string }[]) => findings.map(({ code }) => code);
const seeds = fc.integer({ min: 1, max: 1e6 });
const runs = { seed: 211, numRuns: 150 };
const title = (law: string) => `${law} (fast-check, seed ${runs.seed}, ${runs.numRuns} plates)`;

describe('names follow their cavities', () => {
  it(title('over both turns of an oblong plate and all four of a square one'), () => {
    fc.assert(
      fc.property(seeds, fc.constantFrom(0, 1, 2, 3), fc.boolean(), (seed, quarters, square) => {
        if (!square && quarters % 2 === 1) return;
        const old = randomLayout(seed, 3, square ? 3 : 2);
        const { layout, from } = rescan(old, quarters, seed + 1);
        const { names, findings } = name(listOf(old), layout);
        expect(names).toEqual(from.map((number) => `n${number}`));
        expect(findings).toEqual([]);
      }),
      runs,
    );
  });

  it(title('by place alone, where the list says no more and the layout is not its own half turn'), () => {
    fc.assert(
      fc.property(seeds, fc.constantFrom(0, 2), (seed, quarters) => {
        const old = randomLayout(seed, 3, 2);
        const { layout, from } = rescan(old, quarters, seed + 1);
        const list = listOf(old).map(({ line, name, centreMm }) => ({ line, name, centreMm: centreMm! }));
        const { names, findings } = name(list, layout);
        // Chance may make a layout nearly its own half turn: then it must be silent, not wrong.
        for (const [j, given] of names.entries()) expect([`n${from[j]}`, null]).toContain(given);
        if (names.includes(null)) expect(codes(findings)).toContain('names-ambiguous');
      }),
      runs,
    );
  });

  it('places from a ruler, three millimetres off, are enough', () => {
    const layout = randomLayout(5, 3, 2);
    const list = listOf(layout).map(({ line, name, centreMm }, i) => {
      const [x, y] = centreMm!;
      return { line, name, centreMm: [Math.round(x + 3 * (-1) ** i), Math.round(y - 2)] as const };
    });
    expect(name(list, layout).names).toEqual(layout.cavities.map(({ number }) => `n${number}`));
  });

  it(title('where a part of the plate is missing, and its frame begins elsewhere'), () => {
    fc.assert(
      fc.property(seeds, fc.constantFrom(0, 2), (seed, quarters) => {
        const old = randomLayout(seed, 4, 2);
        const { layout, from } = rescan(old, quarters, seed + 1);
        const kept = layout.cavities.map((_, j) => j).filter((j) => layout.cavities[j]!.centreMm[0] > 40);
        const cavities = kept.map((j, k): NamelessCavity => {
          const [x, y] = layout.cavities[j]!.centreMm;
          return { ...layout.cavities[j]!, number: k + 1, centreMm: [x - 40, y] };
        });
        const { names, findings } = name(listOf(old), { lengthMm: 120, widthMm: 80, cavities });
        expect(names).toEqual(kept.map((j) => `n${from[j]}`));
        expect(codes(findings)).toEqual(['name-without-cavity']);
      }),
      runs,
    );
  });

  it(title('to a new layout, by shape alone, with a note'), () => {
    fc.assert(
      fc.property(seeds, (seed) => {
        const old = randomLayout(seed, 3, 2);
        const { layout, from } = rescan(old, 0, seed + 1, 0.5);
        // The places change hands: every cavity moves to that of the next.
        const cavities = layout.cavities.map((cavity, j) => ({
          ...cavity,
          centreMm: layout.cavities[(j + 1) % layout.cavities.length]!.centreMm,
        }));
        const { names, findings } = name(listOf(old), { ...layout, cavities });
        for (const [j, given] of names.entries()) expect([`n${from[j]}`, null]).toContain(given);
        expect(names.filter((given) => given !== null).length).toBeGreaterThanOrEqual(4);
        expect(codes(findings)).toContain('names-by-shape');
      }),
      runs,
    );
  });
});

describe('mirror images are never exchanged', () => {
  /** A pair left and right of the middle: their places are one another's half turn. */
  const pair = (seed: number): Layout => {
    const uniform = mulberry32(seed);
    const left = randomCavity(uniform, 1, 40, 40);
    return { lengthMm: 160, widthMm: 80, cavities: [left, mirrorTwin(left, 2, 120, 40)] };
  };
  const sides = (number: number) => (number === 1 ? 'brow left' : 'brow right');

  it(title('although volume, opening, depth and place would fit'), () => {
    fc.assert(
      fc.property(seeds, fc.constantFrom(0, 2), (seed, quarters) => {
        const old = pair(seed);
        const { layout, from } = rescan(old, quarters, seed + 1);
        const { names, findings } = name(listOf(old, sides), layout);
        // A seed may make a pair that is nearly its own mirror image or half turn: silence then, never the other name.
        for (const [j, given] of names.entries()) expect([sides(from[j]!), null]).toContain(given);
        if (names.includes(null)) expect(codes(findings)).toContain('names-ambiguous');
      }),
      runs,
    );
  });

  it('but without their shapes nobody can know, and none is named', () => {
    const old = pair(3);
    const list = listOf(old, sides).map(({ shapeMm: _, ...entry }) => entry);
    for (const quarters of [0, 2]) {
      const { names, findings } = name(list, rescan(old, quarters, 4).layout);
      expect(names).toEqual([null, null]);
      expect(codes(findings)).toEqual(['names-ambiguous']);
    }
  });

  it('a plate on which they changed places: each name goes to its shape', () => {
    const old = pair(3);
    const [left, right] = old.cavities;
    const swapped = [
      { ...right!, number: 1, centreMm: [40, 40] as const },
      { ...left!, number: 2, centreMm: [120, 40] as const },
    ];
    expect(name(listOf(old, sides), { ...old, cavities: swapped }).names).toEqual(['brow right', 'brow left']);
  });
});

describe('what is not certain is said', () => {
  /** Equal round cavities in three columns and two rows. */
  const equal = (): Layout => ({
    lengthMm: 120,
    widthMm: 80,
    cavities: Array.from({ length: 6 }, (_, i) => ({
      number: i + 1,
      centreMm: [20 + 40 * (i % 3), 60 - 40 * Math.floor(i / 3)] as const,
      volumeMm3: 500,
      openingAreaMm2: 300,
      depthMm: 3,
      shapeMm: [6, 0, 0, 0, 0, 0, 0],
    })),
  });

  it('equal cavities on a plate that is its own half turn: no name, one finding that says why and what to do', () => {
    const { layout } = rescan(equal(), 2, 8);
    const { names, findings } = name(listOf(equal()), layout);
    expect(names).toEqual(Array(6).fill(null));
    expect(codes(findings)).toEqual(['names-ambiguous']);
    expect(findings[0]).toMatchObject({ severity: 'caution' });
    expect(findings[0]!.message).toContain('as it lies and turned by 180°');
    expect(findings[0]!.message).toContain('one name a line');
  });

  it('but where both turns give a cavity the same name, it has it', () => {
    const { layout, from } = rescan(equal(), 2, 8);
    // 1 and 6 are one another's half turn, so are 2 and 5, 3 and 4.
    const called = (number: number) => (number === 1 || number === 6 ? 'wound' : `n${number}`);
    const { names } = name(listOf(equal(), called), layout);
    expect(names).toEqual(from.map((number) => (called(number) === 'wound' ? 'wound' : null)));
  });

  it('one odd cavity settles the turn for all', () => {
    const odd = equal();
    const cavities = odd.cavities.map((cavity) => (cavity.number === 4 ? { ...cavity, volumeMm3: 600 } : cavity));
    const { layout, from } = rescan({ ...odd, cavities }, 2, 8, 0.3);
    expect(name(listOf({ ...odd, cavities }), layout)).toEqual({
      names: from.map((number) => `n${number}`),
      findings: [],
    });
  });

  it('the very file that the list was written from: every name, however alike the cavities are', () => {
    const layout = equal();
    const list = listOf(layout).map((entry) => ({ ...entry, file: 'ab12'.repeat(4) }));
    const given = nameCavities(byPlace(list), layout.cavities, plateOf(layout, 'ab12'.repeat(16)));
    expect(given).toEqual({ names: layout.cavities.map(({ number }) => `n${number}`), findings: [] });
    expect(name(list, layout).names).toEqual(Array(6).fill(null));
  });

  it('two cavities in one place, a ring and what lies inside it: by shape, or not at all', () => {
    const uniform = mulberry32(6);
    const [ring, core] = [randomCavity(uniform, 1, 50, 40), randomCavity(uniform, 2, 50.2, 40)];
    const layout = { lengthMm: 140, widthMm: 80, cavities: [ring, core, randomCavity(uniform, 3, 100, 30)] };
    expect(name(listOf(layout), layout).names).toEqual(['n1', 'n2', 'n3']);
    const list = listOf(layout).map(({ line, name, centreMm }) => ({ line, name, centreMm: centreMm! }));
    const { names, findings } = name(list, layout);
    expect(names).toEqual([null, null, 'n3']);
    expect(codes(findings)).toEqual(['names-ambiguous']);
  });

  it('the list of another plate gives no name', () => {
    const { names, findings } = name(listOf(randomLayout(1, 3, 2)), randomLayout(2, 3, 2));
    expect(names).toEqual(Array(6).fill(null));
    expect(codes(findings)).toEqual(['names-do-not-fit']);
  });

  it('a cavity that is gone, and one that is new', () => {
    const old = randomLayout(9, 3, 2);
    const fresh = randomCavity(mulberry32(77), 6, 100, 60);
    const now = { ...old, cavities: [...old.cavities.slice(0, 5), fresh] };
    const { names, findings } = name(listOf(old), now);
    expect(names).toEqual(['n1', 'n2', 'n3', 'n4', 'n5', null]);
    expect(codes(findings)).toEqual(['name-without-cavity', 'cavity-without-name']);
    expect(findings[0]!.message).toContain("'n6' (line 7)");
  });
});

describe('by number', () => {
  const layout = randomLayout(4, 3, 1);
  const give = (...names: string[]) => {
    const entries = names.map((name, i) => ({ line: i + 1, name, number: i + 1 }));
    return nameCavities({ by: 'number', entries, findings: [] }, layout.cavities, plateOf(layout));
  };

  it('as they stand', () => {
    expect(give('a', 'b', 'c')).toEqual({ names: ['a', 'b', 'c'], findings: [] });
  });

  it('too few, or a blank one: the others stay without, and are told', () => {
    const { names, findings } = give('a', '');
    expect(names).toEqual(['a', null, null]);
    expect(findings[0]).toMatchObject({
      code: 'cavity-without-name',
      message: expect.stringContaining('cavities 2 and 3'),
    });
  });

  it('too many: the one that is missing is not known, so none is given', () => {
    const { names, findings } = give('a', 'b', 'c', 'd');
    expect(names).toEqual([null, null, null]);
    expect(findings[0]).toMatchObject({ code: 'names-too-many', severity: 'caution' });
    expect(findings[0]!.message).toContain("'d' (line 4)");
  });
});
