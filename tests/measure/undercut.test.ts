import { describe, expect, test } from 'vitest';
import { mulberry32 } from '../../fixtures/make/random.js';
import { columnsOf } from '../../src/measure/columns.js';
import { distanceToMarked } from '../../src/measure/plan-distance.js';
import { undercut } from '../../src/measure/undercut.js';
import { checksOf } from '../record.js';
import { bodyOf, bodyOfShape, slab, sweep, turned, wasm, withNoise } from './bodies.js';

const of = (body: ReturnType<typeof bodyOf>) => undercut(body, columnsOf(body, 120_000, 0.05));

const agrees = checksOf(import.meta.url, 'Undercut of bodies that have a formula');

/** Sections are taken in columns and levels of the plan, a hundredth of what is measured. */
function near(check: string, source: string, unit: string, ours: number | null, expected: number, share: number): void {
  agrees({
    check,
    source,
    unit,
    expected,
    ours: ours!,
    allowed: share * expected,
    because: `${100 * share} %: columns`,
  });
}

describe('known answers', () => {
  test.each([
    [20, 4, 3, 10, 4],
    [30, 6, 2, 9, 3],
    [15, 2, 1, 12, 2],
  ])(
    'T-slot %d long, slot %d x %d over a chamber %d x %d',
    (length, slotWidth, slotDepth, chamberWidth, chamberDepth) => {
      const body = bodyOfShape({ kind: 't-slot', length, slotWidth, slotDepth, chamberWidth, chamberDepth }, 0.5);
      const { volumeMm3, overhangMm, neckMm, stretchPct } = of(body);
      const name = `T-slot ${slotWidth} over ${chamberWidth} mm`;
      const side = (chamberWidth - slotWidth) / 2;
      near(`${name}: hidden volume`, 'l (w2 - w1) h2', 'mm³', volumeMm3, 2 * length * side * chamberDepth, 0.01);
      near(`${name}: overhang`, '(w2 - w1) / 2', 'mm', overhangMm, side, 0.02);
      near(`${name}: neck`, 'w1', 'mm', neckMm, slotWidth, 0.02);
      // Widths are those of the largest circle inside a section.
      const stretch = 100 * (Math.min(chamberWidth, length) / slotWidth - 1);
      near(`${name}: stretch`, '(chamber - neck) / neck', '%', stretchPct, stretch, 0.02);
    },
  );

  test('bulb: a ball of R = 6 under a neck of r = 3; hidden is what lies outside the neck (Pappus, cylinder and caps)', () => {
    const body = bodyOfShape({ kind: 'bulb', neckRadius: 3, neckDepth: 2, radius: 6 }, 0.25);
    const { volumeMm3, overhangMm, neckMm, stretchPct } = of(body);
    // A ball with a round hole of radius r through its middle keeps just this.
    const ring = 'MathWorld, Spherical Ring: 4/3 pi (R² - r²)^(3/2)';
    near('bulb: hidden volume', ring, 'mm³', volumeMm3, (4 / 3) * Math.PI * (36 - 9) ** 1.5, 0.01);
    near('bulb: overhang', 'R - r', 'mm', overhangMm, 3, 0.02);
    near('bulb: neck', '2 r', 'mm', neckMm, 6, 0.02);
    near('bulb: stretch', '(R - r) / r', '%', stretchPct, 100, 0.02);
  });

  test('a slanted slot hides itself, but need not stretch', () => {
    const body = bodyOf(
      sweep(
        [
          [0, 0],
          [8, -8],
          [12, -8],
          [4, 0],
        ],
        20,
      ),
    );
    const { volumeMm3, overhangMm, stretchPct } = of(body);
    // Open to above: the triangle under the opening. The rest of the parallelogram is hidden.
    const hidden = 20 * (4 * 8 - (4 * 4) / 2);
    near('slanted slot: hidden volume', 'parallelogram less triangle', 'mm³', volumeMm3, hidden, 0.01);
    near('slanted slot: overhang', 'its slant', 'mm', overhangMm, 8, 0.02);
    expect(stretchPct).toBeLessThan(1);
  });

  test('a groove round a bowl: the bowl is the neck', () => {
    const bowl = turned([
      [0, 0],
      [0, -6],
      [8, -6],
      [8, -4],
      [9, -4],
      [9, -3],
      [8, -3],
      [8, 0],
    ]);
    const { volumeMm3, overhangMm, neckMm, stretchPct } = of(bodyOf(bowl, 0.5));
    near('groove round a bowl: hidden volume', 'pi (R² - r²) h', 'mm³', volumeMm3, Math.PI * (81 - 64), 0.01);
    near('groove round a bowl: overhang', 'R - r', 'mm', overhangMm, 1, 0.06);
    near('groove round a bowl: neck', '2 r', 'mm', neckMm, 16, 0.02);
    near('groove round a bowl: stretch', '(R - r) / r', '%', stretchPct, 12.5, 0.05);
  });
});

describe('none', () => {
  test.each([
    { kind: 'slab', length: 20, width: 12, depth: 5 },
    { kind: 'disc', radius: 8, depth: 5 },
    { kind: 'cap', radius: 10, depth: 4 },
  ] as const)('$kind', (shape) => {
    expect(of(bodyOfShape(shape, 0.5))).toMatchObject({ volumeMm3: 0, overhangMm: 0, neckMm: null, stretchPct: 0 });
  });

  test.each([1, 2, 3])('a straight pocket whose walls are rough by 0.02 mm to all sides, seed %d', (seed) => {
    const body = bodyOf(slab(20, 12, 5), 0.5);
    const random = mulberry32(seed);
    const rough = { ...withNoise(body, 0.02, seed), noiseMm: 0.02 };
    for (let o = 0; o < rough.positions.length; o += 3) {
      if (rough.positions[o + 2] === 0) continue;
      // Uniform with the same spread: width is sigma times the square root of 12.
      for (let axis = 0; axis < 2; axis++) rough.positions[o + axis]! += 0.02 * Math.sqrt(12) * (random() - 0.5);
    }
    expect(of(rough).volumeMm3).toBe(0);
  });
});

test('a turned body has the same undercut within 1 %', () => {
  const solid = wasm.Manifold.union(slab(4, 20, 3), slab(10, 20, 4).translate([-3, 0, -3]));
  for (const deg of [0, 17, 45, 73]) {
    const { volumeMm3, neckMm, stretchPct } = of(bodyOf(solid.rotate([0, 0, deg]), 1));
    near(`T-slot turned by ${deg} degrees: hidden volume`, 'l (w2 - w1) h2', 'mm³', volumeMm3, 20 * 6 * 4, 0.01);
    near(`T-slot turned by ${deg} degrees: neck`, 'w1', 'mm', neckMm, 4, 0.01);
    near(`T-slot turned by ${deg} degrees: stretch`, '(chamber - neck) / neck', '%', stretchPct, 150, 0.01);
  }
});

test('distance to the nearest marked cell, against looking at all of them, seed 5', () => {
  const random = mulberry32(5);
  const [across, along] = [23, 17];
  const marked = Uint8Array.from({ length: across * along }, () => (random() < 0.03 ? 1 : 0));
  const distance = distanceToMarked(marked, across, along);
  for (let c = 0; c < marked.length; c++) {
    let least = Infinity;
    for (let d = 0; d < marked.length; d++) {
      const [dx, dy] = [(c % across) - (d % across), Math.floor(c / across) - Math.floor(d / across)];
      if (marked[d] === 1) least = Math.min(least, Math.hypot(dx, dy));
    }
    expect(distance[c]).toBeCloseTo(least, 9);
  }
});
