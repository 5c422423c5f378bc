import { describe, expect, test } from 'vitest';
import { rampColour } from '../../src/base/ramp.js';
import type { PictureMark } from '../../src/sheet/picture.js';
import { picturePng } from '../../src/sheet/picture-png.js';
import { pictureSvg } from '../../src/sheet/picture-svg.js';
import { cavityPicture, planPicture } from '../../src/sheet/plan-picture.js';
import { viewWalls } from '../../src/sheet/wall-view.js';
import { sampleCavity, sampleSurvey } from './sample-survey.js';

/** A cone with its mouth at z = 0 and a flat fan of faces: radius r, depth d, apex at (x, y). */
function cone(x: number, y: number, r: number, d: number, count = 96) {
  const rim = Array.from({ length: count }, (_, i) => {
    const angle = (2 * Math.PI * i) / count;
    return [x + r * Math.cos(angle), y + r * Math.sin(angle)] as const;
  });
  return {
    positions: new Float64Array([x, y, -d, ...rim.flatMap(([px, py]) => [px, py, 0])]),
    triangles: Uint32Array.from(rim.flatMap((_, i) => [0, 1 + i, 1 + ((i + 1) % count)])),
    rim: rim.flat(),
  };
}

describe('the wall seen from above', () => {
  const { positions, triangles, rim } = cone(20, 15, 10, 5);
  const view = viewWalls([{ positions, triangles, flip: 1, shift: [0, 30], rims: [rim] }], 40, 30, 8);

  test('the depth of a cone at a distance s from its axis is d (1 - s/r)', () => {
    for (const s of [0.5, 2, 5, 8, 9.5]) {
      const at = Math.floor(15 * 8) * view.width + Math.floor((20 + s) * 8);
      expect(Math.abs(view.values[at]! - 5 * (1 - s / 10))).toBeLessThan((5 / 10) * (1.5 / 8));
    }
  });

  test('inside is the area of the rim, and outside it there is no wall', () => {
    const area = view.inside.reduce((sum, one) => sum + one, 0) / 64;
    // Area of the regular 96-gon; a pixel either way along its length.
    const polygon = 48 * 100 * Math.sin((2 * Math.PI) / 96);
    expect(Math.abs(area - polygon)).toBeLessThan((2 * Math.PI * 10) / 8);
    expect(view.values.filter((value, i) => view.inside[i] === 0 && !Number.isNaN(value))).toHaveLength(0);
  });

  test('of two walls over each other the upper one shows', () => {
    const [low, high] = [cone(20, 15, 10, 5), cone(20, 15, 10, 2)];
    const walls = [high, low].map((c) => ({ ...c, flip: 1 as const, shift: [0, 30] as const, rims: [c.rim] }));
    for (const order of [walls, walls.toReversed()]) {
      const both = viewWalls(order, 40, 30, 4);
      expect(both.values[Math.floor(15 * 4) * both.width + 20 * 4]).toBeCloseTo(2, 0);
    }
  });
});

describe('the plan of a plate', () => {
  const made = cone(60, 50, 20, 4);
  const cavity = sampleCavity(7, 'chin <b>plate', {
    centreMm: [60, 50],
    boxMm: [40, 30, -4, 80, 70, 0],
    rimMm: [made.rim],
    thinZones: [{ areaMm2: 4, reachMm: 7, rimSpanMm: 9, minMm: 0.1, inner: false, atMm: [42, 50, 0] }],
    airTraps: [{ volumeMm3: 2, atMm: [60, 60, -1] }],
    liftPointMm: [60, 31, 0],
  });
  const thin = { code: 'thin-edge', severity: 'caution', message: 'Thin.', cavity: 7, atMm: [42, 50, 0] } as const;
  const document = sampleSurvey({ cavities: [cavity], findings: [thin] });
  const texts = (marks: readonly PictureMark[]): string[] => marks.flatMap((m) => (m.kind === 'text' ? [m.text] : []));

  test('by thickness where every wall has it, else by depth, and the legend says which', () => {
    const thicknessMm = new Float64Array(96).fill(2);
    const wall = { number: 7, positions: made.positions, triangles: made.triangles };
    expect(texts(planPicture(document, [{ ...wall, thicknessMm }]).marks)).toContain('thickness mm');
    expect(texts(planPicture(document, [wall]).marks)).toContain('depth mm');
    expect(planPicture(document, [wall]).title).toContain('coloured by depth');
  });

  test('a face has the colour of its thickness on the scale that the legend shows', () => {
    const thicknessMm = new Float64Array(96).fill(2);
    const { marks } = planPicture(document, [
      { number: 7, positions: made.positions, triangles: made.triangles, thicknessMm },
    ]);
    const top = Number.parseFloat(texts(marks)[texts(marks).indexOf('thickness mm') - 1]!);
    const pixels = marks.find((mark) => mark.kind === 'pixels')!;
    // The plate is 148 mm wide, y runs down in the picture.
    const at = Math.floor((148 - 50) * pixels.pixelsPerMm) * pixels.width + Math.floor(70 * pixels.pixelsPerMm);
    expect([...pixels.rgba.subarray(4 * at, 4 * at + 4)]).toEqual([...rampColour(2 / top), 255]);
  });

  test('numbers, signs of three shapes and their words; no name gets into the markup', () => {
    const picture = planPicture(document, []);
    expect(texts(picture.marks)).toEqual(expect.arrayContaining(['7', 'thin', 'air stays', 'lift here', '20 mm']));
    // A feather that no finding speaks of is thin by intention.
    expect(texts(planPicture({ ...document, findings: [] }, []).marks)).not.toContain('thin');
    const svg = pictureSvg({ ...picture, title: '<script>\u202e' });
    expect(svg).not.toContain('<script>');
    expect(svg).toContain('&lt;script&gt;\\u{202e}');
  });

  test('SVG and PNG have the size of the plate at 1:1', () => {
    const picture = planPicture(document, []);
    expect(pictureSvg(picture)).toContain(`width="${picture.widthMm}mm"`);
    const png = new DataView(picturePng(picture, 2).buffer);
    expect([png.getUint32(16), png.getUint32(20)]).toEqual([
      Math.ceil(2 * picture.widthMm),
      Math.ceil(2 * picture.heightMm),
    ]);
  });

  test('a cavity by itself is drawn at 1:1, with only its own findings', () => {
    const other = sampleCavity(8, 'brow', { airTraps: [], thinZones: [], liftPointMm: null });
    const both = { ...document, cavities: [cavity, other], findings: [thin, { ...thin, cavity: 8 }] };
    const thicknessMm = new Float64Array(96).fill(2);
    const picture = cavityPicture(both, { ...made, number: 7, thicknessMm });
    const rim = picture.marks.find((mark) => mark.kind === 'line' && mark.points.length === made.rim.length);
    const xs = (rim as { points: readonly number[] }).points.filter((_, i) => i % 2 === 0);
    // The rim is a circle of radius 20 mm; the plan is rounded to 0.01 mm.
    expect(Math.max(...xs) - Math.min(...xs)).toBeCloseTo(40, 1);
    expect(pictureSvg(picture)).toContain(
      `width="${picture.widthMm}mm" height="${picture.heightMm}mm" viewBox="0 0 ${picture.widthMm} ${picture.heightMm}"`,
    );
    expect(texts(picture.marks).filter((text) => text === '8' || text === '7')).toEqual(['7']);
    expect(picture.title).toContain('Cavity 7 (chin <b>plate)');
  });
});
