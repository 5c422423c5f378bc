import { describe, expect, it } from 'vitest';
import { fillAllowances } from '../../src/fill/allowances.js';
import { plateful } from '../cli/harness.js';
import { cavity, surveyOf } from './made-survey.js';
import { newFolder } from './new-folder.js';

/** 500 mm³ of film on low land, over two cavities of 10 and 5 ml with flash bands alike. */
const pieces = [cavity(1, 'brow', 10_000), cavity(2, 'chin', 5000)];
const low = surveyOf(pieces, { plate: { ...surveyOf([]).plate, lowLandMm3: 500 } });
const folder = newFolder({ 'low.json': JSON.stringify(low), 'even.json': JSON.stringify(surveyOf(pieces)) });
const mix = async (file: string, ...argv: string[]) =>
  JSON.parse(
    (await plateful(['mix', file, '--density', '1.1', '--ratio', '1:1', '--json', ...argv], { cwd: folder })).out,
  );
const film = (document: { allowances: { what: string; massG: number }[] }) =>
  document.allowances.find(({ what }) => what === 'film on low land')?.massG;

describe('the film that stays on low land', () => {
  // by hand: 0.5 ml of 1.1 g/ml is 0.55 g a fill
  it.each(['straight', 'encapsulated'])('%s: is in the allowances and in the batch', async (way) => {
    const [with_, without] = [await mix('low.json', '--way', way), await mix('even.json', '--way', way)];
    expect(film(with_)).toBeCloseTo(0.55, 9);
    expect(film(without)).toBeUndefined();
    const total = (document: { batches: { totalG: number }[] }) =>
      document.batches.reduce((sum, one) => sum + one.totalG, 0);
    // the scale's step is 0.1 g, and what is mixed more leaves a little more in a larger cup
    expect(total(with_) - total(without)).toBeGreaterThan(0.45);
    expect(total(with_) - total(without)).toBeLessThan(0.85);
  });

  it('twice for two fills, by its share where some cavities are left out, and not beside a given overfill', async () => {
    expect(film(await mix('low.json', '--fills', '2'))).toBeCloseTo(1.1, 9);
    expect(film(await mix('low.json', '--only', '1'))).toBeCloseTo(0.275, 9);
    expect(film(await mix('low.json', '--overfill', '10'))).toBeUndefined();
  });

  it('nothing of it where there is none', () => {
    expect(fillAllowances(10, 0, 0, 1.1, { way: 'straight' }).map(({ what }) => what)).toEqual(['overfill']);
  });
});
