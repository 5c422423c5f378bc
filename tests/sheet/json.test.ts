import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, test } from 'vitest';
import { jsonLine, jsonText, roundSurvey } from '../../src/sheet/json.js';
import { sampleCavity, sampleSurvey } from './sample-survey.js';

const schema = JSON.parse(readFileSync(`${import.meta.dirname}/../../docs/schema/survey.schema.json`, 'utf8'));
const holds = new Ajv2020({ allErrors: true }).compile(schema);

describe('the survey document as JSON', () => {
  const document = roundSurvey(
    sampleSurvey({ cavities: [1, 2, 3].map((n) => sampleCavity(n, `piece ${n}`, { volumeMm3: 10 / 3 })) }),
  );

  test('totals are exactly the sums of the figures that are written', () => {
    const read = JSON.parse(jsonText(document));
    const sum = read.cavities.reduce((total: number, { volumeMm3 }: { volumeMm3: number }) => total + volumeMm3, 0);
    expect(Math.abs(read.totals.volumeMm3 - sum)).toBeLessThan(1e-12);
    expect(read.cavities[0].volumeMm3).toBe(3.333333);
    expect(read.totals.volumeMm3).toBe(9.999999);
  });

  test('rounding is done once: a second pass changes nothing', () => {
    expect(jsonText(roundSurvey(document))).toBe(jsonText(document));
    expect(JSON.parse(jsonText(document))).toEqual(JSON.parse(jsonLine(document)));
    expect(jsonLine(document).trimEnd()).not.toContain('\n');
  });

  test('a total that is not trusted stays null', () => {
    const totals = { volumeMm3: null, openingAreaMm2: null, flashAreaMm2: null };
    expect(roundSurvey(sampleSurvey({ totals })).totals).toEqual(totals);
    const unknown = roundSurvey(sampleSurvey({ cavities: [sampleCavity(1, 'ear', { volumeMm3: null })] }));
    expect(unknown.totals.volumeMm3).toBeNull();
  });

  test('a figure that is not finite is an error, never a silent null', () => {
    const broken = sampleSurvey({ cavities: [sampleCavity(1, 'ear', { depthMm: Number.NaN })] });
    expect(() => jsonText(broken)).toThrow('document.cavities[0].depthMm is not a finite number');
  });

  test('a rotation stays a rotation', () => {
    const [c, s] = [Math.cos(1), Math.sin(1)];
    const toPlate = [c, s, 0, 0, -s, c, 0, 0, 0, 0, 1, 0, 1234.5678901234567, 0, 0, 1];
    const { plate } = roundSurvey(sampleSurvey({ plate: { ...sampleSurvey().plate, toPlate } }));
    const [a, b] = plate.toPlate as [number, number];
    expect(Math.abs(a * a + b * b - 1)).toBeLessThan(1e-11);
  });
});

describe('JSON Schema of the survey document', () => {
  const check = (document: unknown): string[] => {
    holds(document);
    return (holds.errors ?? []).map((error) => `${error.instancePath} ${error.message}`);
  };

  test('a survey holds it, with every part measured or with none', () => {
    expect(check(roundSurvey(sampleSurvey()))).toEqual([]);
    const measured = sampleCavity(1, 'chin', {
      thickness: {
        minMm: 0.8,
        maxMm: 4.1,
        medianMm: 2.2,
        edgeAngleDeg: 3.4,
        taper: [{ inMm: 0.5, p10Mm: 0.02, medianMm: 0.03, p90Mm: 0.05 }],
      },
      thinZones: [{ areaMm2: 12, reachMm: 6.9, rimSpanMm: 20, minMm: 0.1, inner: false, atMm: [1, 2, -0.1] }],
      undercut: { volumeMm3: 3, overhangMm: 0.4, neckMm: 6, stretchPct: 12 },
      airTraps: [{ volumeMm3: 1, atMm: [1, 2, -3] }],
      liftPointMm: [1, 2, 0],
    });
    expect(check(sampleSurvey({ cavities: [measured] }))).toEqual([]);
  });

  test('what breaks the contract is named', () => {
    const survey = sampleSurvey();
    expect(check({ ...survey, version: 2 })).toEqual(['/version must be equal to constant']);
    const noDepth = JSON.parse(JSON.stringify(survey));
    delete noDepth.cavities[1].depthMm;
    expect(check(noDepth)).toEqual(["/cavities/1 must have required property 'depthMm'"]);
    const text = JSON.parse(JSON.stringify(survey));
    text.totals.volumeMm3 = '12';
    expect(check(text)).toEqual(['/totals/volumeMm3 must be number,null']);
    expect(check({ ...survey, extra: 1 })).toEqual([]);
  });
});
