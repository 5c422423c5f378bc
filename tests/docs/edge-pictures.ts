/**
 * The pictures of docs/edges.md, drawn from a survey of the demo plate by the program's own measures:
 * `npx tsx tests/docs/edge-pictures.ts` writes them anew.
 */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { alarmColour, hexColour } from '../../src/base/ramp.js';
import { bytesSource } from '../../src/base/source.js';
import { type MeasuredBody, measureBody } from '../../src/measure/measured-body.js';
import { inwardPoint, type RimSamples } from '../../src/measure/rim-samples.js';
import { ballUnderSurface, type EdgeProfile } from '../../src/measure/taper.js';
import { edgeProfilesSvg } from '../../src/sheet/edge-profile-svg.js';
import { rimsSvg } from '../../src/sheet/export-rims.js';
import { roundSurvey } from '../../src/sheet/json.js';
import { survey } from '../../src/survey.js';

const root = resolve(import.meta.dirname, '../..');
const alarm = hexColour(alarmColour);

/** Of the section, mm: from outside the rim to inside, and from above the scrape surface to below it. */
const frame = { from: -1.2, to: 9, above: 0.65, below: 1.85 };
/** Drawn this many times as large. */
const zoom = 16;
const halo = 'stroke="#fff" stroke-width="0.06" paint-order="stroke"';
const balls = [0.25, 0.5, 1, 2, 3];

/** Height of the wall over each place along the line inward from a rim sample. */
function wallHeights({ fill }: MeasuredBody, samples: RimSamples, i: number): [number, number][] {
  const [x0, y0] = [samples.place[2 * i]!, samples.place[2 * i + 1]!];
  const [nx, ny] = [samples.inward[2 * i]!, samples.inward[2 * i + 1]!];
  const heights: [number, number][] = [];
  const { positions: p, triangles } = fill;
  // Where the upright plane along the line cuts the edges of the wall.
  for (let t = 0; t < 3 * fill.wallTriangles; t++) {
    const a = 3 * triangles[t]!;
    const b = 3 * triangles[t % 3 === 2 ? t - 2 : t + 1]!;
    const side = (o: number) => (p[o]! - x0) * -ny + (p[o + 1]! - y0) * nx;
    const [da, db] = [side(a), side(b)];
    if (da > 0 === db > 0) continue;
    const share = da / (da - db);
    const at = (axis: number) => p[a + axis]! + share * (p[b + axis]! - p[a + axis]!);
    const s = (at(0) - x0) * nx + (at(1) - y0) * ny;
    if (s > -0.01 && s < frame.to + 1) heights.push([s, at(2)]);
  }
  return [[0, 0] as [number, number], ...heights.sort(([a], [b]) => a - b)];
}

interface Edge {
  readonly title: string;
  readonly body: MeasuredBody;
  readonly profile: EdgeProfile;
  readonly sample: number;
  readonly tearMm: number;
}

/** One edge cut through, with the balls that measure it and the place where it is thick enough. */
function section({ title, body, profile: { samples }, sample, tearMm }: Edge): string {
  const thickness = (s: number) => {
    const at = inwardPoint(body, samples, sample, s);
    return at === null ? Number.NaN : ballUnderSurface(body, at[0], at[1]);
  };
  let reach = 0.01;
  while (reach < frame.to && thickness(reach) < tearMm) reach += 0.01;
  const ball = (s: number, colour: string) => {
    const t = thickness(s);
    return `<circle cx="${s}" cy="${mm(t / 2)}" r="${mm(t / 2)}" fill="none" stroke="${colour}" stroke-width="0.03"/>`;
  };
  const marks = balls.map((s) => {
    const t = thickness(s);
    return `${ball(s, '#000')}<path d="M${s} -0.03v-0.08" stroke="#000" stroke-width="0.02"/>
<text x="${s}" y="-0.15" text-anchor="${s < 0.3 ? 'end' : 'middle'}">${t.toFixed(2)}</text>`;
  });
  const wall = wallHeights(body, samples, sample).map(([s, z]) => `${mm(s)} ${mm(-z)}`);
  const allowance = body.allowanceMm;
  return `<text x="${mm(frame.from + 0.1)}" y="${mm(0.22 - frame.above)}" font-weight="700">${title}</text>
<path d="M${frame.from} 0H0L${wall.join('L')}V${frame.below}H${frame.from}Z" fill="#d8d8d8"/>
<path d="M0 0L${wall.join('L')}V0Z" fill="#cfe3ee"/>
<path d="M${frame.from} 0H${frame.to}" stroke="#000" stroke-width="0.02"/>
<path d="M${mm(allowance)} 0V${mm(frame.below - 0.12)}" stroke="#000" stroke-width="0.02" stroke-dasharray="0.08 0.06"/>
${marks.join('\n')}
${ball(reach, alarm)}<path d="M0 ${mm(frame.below - 0.5)}H${mm(reach)}M${mm(reach)} 0V${mm(frame.below - 0.42)}M0 0V${mm(frame.below - 0.42)}" stroke="${alarm}" stroke-width="0.025"/>
<text x="${mm(reach + 0.08)}" y="${mm(frame.below - 0.46)}" fill="${alarm}" ${halo}>under ${tearMm.toFixed(2)} mm for ${reach.toFixed(1)} mm in</text>
<text x="${mm(allowance + 0.08)}" y="${mm(frame.below - 0.12)}" ${halo}>feather allowance ${allowance.toFixed(1)} mm</text>`;
}

function sections(edges: readonly Edge[]): string {
  const [width, high] = [frame.to - frame.from, frame.above + frame.below];
  const rows = edges.map(
    (edge, k) =>
      `<svg x="${frame.from}" y="${mm(k * (high + 0.15) - frame.above)}" width="${width}" height="${high}" viewBox="${frame.from} ${-frame.above} ${width} ${high}"><title>${edge.title}</title>${section(edge)}</svg>`,
  );
  const height = edges.length * (high + 0.15);
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${mm(zoom * width)}mm" height="${mm(zoom * height)}mm" viewBox="${frame.from} ${-frame.above} ${width} ${mm(height)}" font-family="sans-serif" font-size="0.17"><title>Three edges of the demo plate, cut through, ${zoom} times as large</title>
<rect x="${frame.from}" y="${-frame.above}" width="${width}" height="${mm(height)}" fill="#fff"/>
${rows.join('\n')}
</svg>
`;
}

const mm = (value: number): number => Math.round(value * 1000) / 1000;

/** Number of the rim sample at which a figure has its largest, or its middle value. */
function sampleBy(profile: EdgeProfile, inMm: number, share: number): number {
  const k = profile.stationsMm.indexOf(inMm);
  const at = (i: number) => profile.thicknessMm[i * profile.stationsMm.length + k]!;
  const order = Array.from(profile.samples.loop.keys()).filter((i) => !Number.isNaN(at(i)));
  order.sort((a, b) => at(a) - at(b));
  return order[Math.round(share * (order.length - 1))]!;
}

const result = await survey(
  bytesSource('sea-ghost.obj', new Uint8Array(readFileSync(`${root}/fixtures/demo/sea-ghost.obj`))),
);
const document = roundSurvey(result.document);
const named = async (name: string) => {
  const i = document.cavities.findIndex((cavity) => cavity.name === name);
  const { number, body, profile, edgeLimits } = result.cavities[i]!;
  return { number, name, body: await measureBody(body!), profile: profile!, ...edgeLimits! };
};
const [brow, scar, chin] = await Promise.all(['brow left', 'scar', 'chin plate'].map(named));
const pictures = {
  'sections.svg': sections([
    { ...brow!, title: 'Brow left: a good edge', sample: sampleBy(brow!.profile, 3, 0.5) },
    { ...scar!, title: 'Scar: too thin too far in', sample: sampleBy(scar!.profile, 3, 0.5) },
    { ...chin!, title: 'Chin plate, lower side: a step', sample: sampleBy(chin!.profile, 0.25, 1) },
  ]),
  'profile.svg': edgeProfilesSvg([brow!, scar!, chin!]),
  'rims.svg': rimsSvg(
    document,
    result.cavities.map(({ number, zones }) => ({ number, zones: zones! })),
  ),
};
mkdirSync(`${root}/docs/edges`, { recursive: true });
for (const [name, svg] of Object.entries(pictures)) writeFileSync(`${root}/docs/edges/${name}`, svg);
