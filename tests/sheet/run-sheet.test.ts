import { describe, expect, it } from 'vitest';
import { labels, sideOf } from '../../src/sheet/labels.js';
import { planOf } from '../../src/sheet/plan-shapes.js';
import { runSheet } from '../../src/sheet/run-sheet.js';
import { samplePlan, samplePlate } from './sample-plate.js';

const survey = samplePlate();
const mix = samplePlan(survey);
const sheet = runSheet({ surveys: [survey], mix, date: '2026-11-25' });

/** What a person reads: the tags taken out, and the entities that the sheet uses put back. */
const textOf = (html: string): string =>
  html
    .replace(/<style>.*?<\/style>/s, '')
    .replace(/<[^>]*>/g, ' ')
    .replace(/&#39;/g, "'")
    .replace(/&quot;/g, '"')
    .replace(/&lt;/g, '<')
    .replace(/&gt;/g, '>')
    .replace(/&amp;/g, '&')
    .replace(/\s+/g, ' ');

describe('the run sheet', () => {
  const text = textOf(sheet);

  it('shows every piece with its name and grams, and every part of every batch', () => {
    for (const { name, volumeMl } of mix.perCavity) expect(text).toContain(`${name} ${volumeMl.toFixed(3)}`);
    for (const { parts } of mix.batches) {
      for (const { part, massG } of parts) expect(text).toContain(`${part} ${massG.toFixed(1)}`);
    }
  });

  it('shows the thin zones, the cautions, the findings and the source with its hash', () => {
    expect(text).toContain('thin for 6.9 mm in from the rim, along 14 mm of it');
    expect(text).toContain('Air stays here (0.018 ml)');
    for (const caution of mix.cautions) expect(text).toContain(caution);
    for (const { message } of survey.findings) expect(text).toContain(message);
    expect(text).toContain(survey.source.sha256);
    expect(text).toContain('2026-11-25');
  });

  it('needs no script and nothing from elsewhere', () => {
    expect(sheet).not.toMatch(/<script|<link|<iframe|<object|javascript:|https?:/i);
    expect(sheet).not.toMatch(/\son\w+=/i);
  });

  it('is the same bytes for the same input', () => {
    expect(runSheet({ surveys: [samplePlate()], mix: samplePlan(), date: '2026-11-25' })).toBe(sheet);
  });

  it('shows hostile names as text', () => {
    const hostile = '<img src=x onerror=alert(1)>"\'\u202e&';
    const bad = samplePlate();
    bad.source.file = hostile;
    bad.cavities[0]!.name = hostile;
    bad.cavities[1]!.name = 'x'.repeat(10_000);
    const page = runSheet({ surveys: [bad], mix: samplePlan(bad), date: '</style><script>' });
    expect(page).not.toMatch(/<img|<script/i);
    expect(page).not.toContain('\u202e');
    expect(page.length).toBeLessThan(sheet.length + 5_000);
    expect(textOf(page)).toContain('<img src=x onerror=alert(1)>"\'\\u{202e}&');
  });

  it('is made without a survey, from pieces weighed once', () => {
    const weighed = runSheet({
      surveys: [],
      mix: { ...mix, plates: [{ file: null, fills: 3 }] },
      date: '2026-11-25',
    });
    expect(textOf(weighed)).toContain('brow ridge left 5.184');
  });
});

describe('the two plans', () => {
  const mould = planOf(survey, 'mould');
  const board = planOf(survey, 'board');

  it('mirror one another across the plate', () => {
    mould.shapes.forEach((shape, i) => {
      const other = board.shapes[i]!;
      expect(other.box[0]).toBeCloseTo(mould.widthMm - shape.box[2], 2);
      expect(other.box[1]).toBeCloseTo(shape.box[1], 2);
    });
  });

  it('put each number inside its rim, clear of the island', () => {
    const fan = mould.shapes[2]!;
    // The island is an oval of 5 by 8 mm round (183, 108) in the plate frame, y upwards in a plate 148 mm wide.
    const island = ((fan.centre[0] - 183) / 5) ** 2 + ((148 - fan.centre[1] - 108) / 8) ** 2;
    const rim = ((fan.centre[0] - 183) / 18) ** 2 + ((148 - fan.centre[1] - 112) / 26) ** 2;
    expect(island).toBeGreaterThan(1);
    expect(rim).toBeLessThan(1);
  });

  it('lay loose pieces side by side, none over another', () => {
    const pieces = planOf(
      {
        ...survey,
        plate: { ...survey.plate, form: 'pieces', lengthMm: null, widthMm: null },
        cavities: survey.cavities.map((cavity) => ({ ...cavity, rimMm: [], boxMm: [-9, -5, -3, 9, 5, 0] })),
      },
      'board',
    );
    for (const a of pieces.shapes) {
      expect(a.box[0]).toBeGreaterThanOrEqual(0);
      expect(a.box[2]).toBeLessThanOrEqual(pieces.widthMm);
      expect(a.box[3]).toBeLessThanOrEqual(pieces.heightMm);
      for (const b of pieces.shapes) {
        if (a.number >= b.number) continue;
        const apart = a.box[2] <= b.box[0] || b.box[2] <= a.box[0] || a.box[3] <= b.box[1] || b.box[3] <= a.box[1];
        expect(apart, `${a.number} over ${b.number}`).toBe(true);
      }
    }
  });
});

describe('labels for the boxes', () => {
  it('hold code, piece, side and date, and lines for what is not given', () => {
    const text = textOf(labels({ mix, character: 'SG-04', castDate: '2026-11-25', way: 'straight', copies: 2 }));
    expect(text.match(/SG-04/g)).toHaveLength(2 * mix.perCavity.length);
    expect(text).toContain(
      "no 1 brow ridge left wearer's side left cast 2026-11-25 lots colour way of casting straight",
    );
    expect(text).toContain('hero background reject');
  });

  it.each([
    ['brow ridge left', 'left'],
    ['ear-tip-R', 'right'],
    ['Gill_L', 'left'],
    ['gill fan', undefined],
    ['collar', undefined],
    ['bridge left and right', undefined],
  ])('read the side of %s', (name, side) => expect(sideOf(name)).toBe(side));
});
