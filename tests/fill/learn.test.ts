import { describe, expect, it } from 'vitest';
import type { Log, Run } from '../../src/fill/log/entry.js';
import { learnedFor, learnLosses } from '../../src/fill/log/learn.js';
import { leastSquares, robustLine } from '../../src/fill/log/robust-line.js';
import { studentQuantile } from '../../src/fill/log/student.js';

/** A small generator with a seed (mulberry32), and normal numbers after Box and Muller. */
function generator(seed: number) {
  let state = seed >>> 0;
  const uniform = () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  return { uniform, normal };
}

const truth = { straight: { cupG: 6.5, rate: 0.27 }, encapsulated: { cupG: 5, rate: 0.18 } } as const;

/** Twenty invented batches with known losses; two of them hold a gross error of weighing or writing. */
function simulate(way: 'straight' | 'encapsulated', seed: number): Log {
  const { uniform, normal } = generator(seed);
  const runs = Array.from({ length: 20 }, (_, i): Run => {
    const fills = 1 + Math.floor(3 * uniform());
    const casts = Array.from({ length: 4 * fills }, () => 3 + 8 * uniform());
    const pieces = casts.reduce((sum, massG) => sum + massG, 0);
    const sweptMm2 = fills * 18_000 * (0.7 + 0.6 * uniform());
    const driver = way === 'straight' ? (sweptMm2 / 1000) * 1.07 : pieces;
    const gross = i === 4 ? 14 : i === 13 ? -9 : 0;
    const mixed = pieces + truth[way].cupG + truth[way].rate * driver + 0.4 * normal() + gross;
    return {
      way,
      material: 'invented',
      densityGPerMl: 1.07,
      weighed: [
        { part: 'A', massG: mixed / 2 },
        { part: 'B', massG: mixed / 2 },
      ],
      leftG: 0,
      sweptMm2,
      pieces: casts.length,
      casts: casts.map((massG, n) => ({
        plate: null,
        number: n + 1,
        name: `piece ${n + 1}`,
        massG,
        predictedG: null,
        rangeG: null,
        grade: 'hero' as const,
      })),
    };
  });
  const entries = runs.map((run, i) => ({ entry: i + 1, at: '2026-11-25T09:00:00Z', kind: 'run' as const, run }));
  return { entries, damaged: [] };
}

describe('quantiles of Student t, against the table of the NIST/SEMATECH e-Handbook, 1.3.6.7.2', () => {
  it.each([
    [0.975, 4, 2.776],
    [0.975, 10, 2.228],
    [0.975, 18, 2.101],
    [0.95, 18, 1.734],
    [0.99, 5, 3.365],
    [0.975, 100, 1.984],
  ])('p %f with %i degrees of freedom is %f', (p, degrees, t) => {
    expect(studentQuantile(p, degrees)).toBeCloseTo(t, 3);
  });
});

describe('learning the losses', () => {
  it.each(['straight', 'encapsulated'] as const)(
    '%s: of 100 seeds, at least 90 have both known losses within their stated interval',
    (way) => {
      const scale = way === 'straight' ? 1 : 100;
      let held = 0;
      let found = 0;
      for (let seed = 1; seed <= 100; seed++) {
        const [lesson] = learnLosses(simulate(way, seed)).lessons;
        const within = ({ low, high }: { low: number; high: number }, value: number) => low <= value && value <= high;
        if (within(lesson!.cupLossG, truth[way].cupG) && within(lesson!.beyond, scale * truth[way].rate)) held += 1;
        if (lesson!.outliers.includes(5) && lesson!.outliers.includes(14)) found += 1;
      }
      expect(held).toBeGreaterThanOrEqual(90);
      expect(found).toBeGreaterThanOrEqual(95);
    },
  );

  it('states intervals that say something: narrower than the losses themselves', () => {
    const [lesson] = learnLosses(simulate('straight', 1)).lessons;
    expect(lesson!.cupLossG.high - lesson!.cupLossG.low).toBeLessThan(truth.straight.cupG);
    expect(lesson!.beyond.high - lesson!.beyond.low).toBeLessThan(truth.straight.rate);
  });

  it('an exact line is found exactly, whatever two wild points say', () => {
    const points = Array.from({ length: 12 }, (_, x) => ({ x, y: 3 + 2 * x }));
    points[3] = { x: 3, y: 80 };
    points[9] = { x: 9, y: -40 };
    const line = robustLine(points)!;
    expect(line.intercept.value).toBeCloseTo(3, 9);
    expect(line.slope.value).toBeCloseTo(2, 9);
    expect(line.outliers).toEqual([3, 9]);
  });

  it('the fit of what is kept is ordinary least squares: the Norris data of NIST StRD', () => {
    // NIST Statistical Reference Datasets, Norris: certified B0 -0.262323073774029, B1 1.00211681802045,
    // residual standard deviation 0.884796396144373.
    const y = [
      0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3, 448.9,
      10.8,
    ];
    const x = [
      0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0, 447.5,
      11.6,
    ];
    const more = {
      y: [
        557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6, 228.9, 668.4,
        449.2, 0.2,
      ],
      x: [
        556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3, 229.2, 669.1,
        448.9, 0.5,
      ],
    };
    const points = [
      ...x.map((value, i) => ({ x: value, y: y[i]! })),
      ...more.x.map((value, i) => ({ x: value, y: more.y[i]! })),
    ];
    const line = leastSquares(points)!;
    expect(line.intercept.value).toBeCloseTo(-0.262323073774029, 9);
    expect(line.slope.value).toBeCloseTo(1.00211681802045, 11);
    expect(line.sigma).toBeCloseTo(0.884796396144373, 9);
    // Certified standard deviations of the two: 0.232818234301152 and 0.000429796848199937.
    const t = studentQuantile(0.995, points.length - 2);
    expect((line.intercept.high - line.intercept.value) / t).toBeCloseTo(0.232818234301152, 9);
    expect((line.slope.high - line.slope.value) / t).toBeCloseTo(0.000429796848199937, 12);
  });

  it('says what it cannot tell yet', () => {
    const log = simulate('straight', 1);
    expect(learnLosses({ ...log, entries: log.entries.slice(0, 4) })).toMatchObject({
      lessons: [],
      notYet: [{ way: 'straight', runs: 4, why: expect.stringContaining('five') }],
    });
    const alike = log.entries.map((entry) =>
      entry.kind === 'run' ? { ...entry, run: { ...entry.run, sweptMm2: 18_000 } } : entry,
    );
    expect(learnLosses({ ...log, entries: alike }).notYet[0]!.why).toContain('swept the same');
    expect(learnedFor('encapsulated', learnLosses(log))).toBeUndefined();
  });
});
