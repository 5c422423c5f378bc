import { describe, expect, test } from 'vitest';
import { spacingFindings, tiltFindings } from '../../src/measure/plate-findings.js';
import { bodyOf, slab, sweep } from './bodies.js';

describe('land between pieces', () => {
  const gaps = (...mm: (number | null)[]) => mm.map((nearestRimMm, i) => ({ number: i + 1, nearestRimMm }));

  test('enough for the flash band and the scraper: nothing to say', () => {
    expect(spacingFindings(gaps(3, 12, null), 3, {})).toEqual([]);
  });

  test('less than the flash band is a caution that names the cavities and what to do', () => {
    const [found, ...rest] = spacingFindings(gaps(2.4, 9, 2.4), 3, {});
    expect(rest).toEqual([]);
    expect(found!.severity).toBe('caution');
    expect(found!.message).toContain('cavities 1 (2.4 mm), 3 (2.4 mm): flash of 3 mm');
    expect(found!.message).not.toContain('scraper');
    expect(spacingFindings(gaps(1.2), 3, {})[0]!.message).toContain('The scraper drops in on land under 2 mm');
  });

  test('a barrier wants its margin', () => {
    expect(spacingFindings(gaps(4.5), 3, { way: 'straight' })).toEqual([]);
    const [found] = spacingFindings(gaps(4.5), 3, { way: 'encapsulated' });
    expect(found!.message).toContain('a barrier wants 5 mm of land');
    expect(found!.cavity).toBe(1);
    expect(spacingFindings(gaps(4.5), 3, { way: 'encapsulated', marginMm: 4 })).toEqual([]);
  });
});

describe('tilt for the first coat', () => {
  const rise = 10 * Math.tan((3 * Math.PI) / 180);
  const chamber = bodyOf(
    sweep(
      [
        [0, 0],
        [0, -6],
        [13, -6],
        [13, -3 + rise],
        [3, -3],
        [3, 0],
      ],
      10,
    ),
  );

  test('says which side to raise, by how much, and that the plate is filled level', async () => {
    const [found] = await tiltFindings([chamber], {});
    expect(found!.message).toMatch(/raise the plate's (top left corner|left side|bottom left corner) by 5 degrees/);
    expect(found!.message).toContain('about 100 % of the air');
    expect(found!.message).toContain('Fill the open plate level');
  });

  test('where a tilt does not help, level it stays; without air or without tilt there is nothing to say', async () => {
    const [found] = await tiltFindings([chamber], { tiltDeg: 0.05 });
    expect(found!.message).toContain('keep it level');
    expect(await tiltFindings([], {})).toEqual([]);
    expect(await tiltFindings([bodyOf(slab(10, 10, 2))], { tiltDeg: 0 })).toEqual([]);
  });
});
