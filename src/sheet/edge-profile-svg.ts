import { alarmColour, hexColour, rampColour, roundTop } from '../base/ramp.js';
import type { EdgeProfile } from '../measure/taper.js';
import { type Html, html, shortName } from './html.js';

export interface NamedProfile {
  readonly number: number;
  readonly name: string;
  readonly profile: EdgeProfile;
  /** Thinner than this the edge tears. */
  readonly tearMm: number;
  /** Thicker than this at the rim it shows. */
  readonly rimStepMm: number;
}

/** Stations that are drawn, mm inward, each with its own dashes: the lines differ without their shade, too. */
const drawn = [
  { inMm: 0.25, dashes: '' },
  { inMm: 1, dashes: '2.4 0.8' },
  { inMm: 3, dashes: '0.6 0.8' },
] as const;

const left = 14;
const right = 30;
const chartHigh = 34;
const rowHigh = 52;

/**
 * Thickness of the edge round each rim: arc length from the rim's first point against thickness at stations inward. A
 * line that stays under the tear thickness at 3 mm is too thin too far in; one that is over the rim step at 0.25 mm shows.
 */
export function edgeProfilesSvg(profiles: readonly NamedProfile[], widthMm = 190): string {
  const rows = profiles.map(
    (named, i) => html`<g transform="translate(0 ${i * rowHigh})">${chart(named, widthMm)}</g>
`,
  );
  const height = Math.max(1, profiles.length) * rowHigh;
  return html`<svg xmlns="http://www.w3.org/2000/svg" width="${widthMm}mm" height="${height}mm" viewBox="0 0 ${widthMm} ${height}" font-family="sans-serif" font-size="3.2"><title>Thickness of the edge round the rim</title>
<rect width="${widthMm}" height="${height}" fill="#fff"/>
${rows}</svg>
`.text;
}

function chart({ number, name, profile, tearMm, rimStepMm }: NamedProfile, widthMm: number): Html {
  const { samples, stationsMm, thicknessMm } = profile;
  // Loops follow each other along the axis.
  const starts = samples.stepMm.map(() => 0);
  let length = 0;
  samples.stepMm.forEach((step, loop) => {
    starts[loop] = length;
    length += step * samples.loop.filter((l) => l === loop).length;
  });
  const value = (i: number, inMm: number) => thicknessMm[i * stationsMm.length + stationsMm.indexOf(inMm)]!;
  const all = Array.from(samples.loop, (_, i) => value(i, 3)).filter((t) => !Number.isNaN(t));
  const top = roundTop(Math.max(1.1 * tearMm, rimStepMm, ...all));
  const x = (mm: number) => round(left + (mm / length) * (widthMm - left - right));
  const y = (mm: number) => round(8 + chartHigh * (1 - Math.min(mm, top) / top));
  const lines = drawn.map(({ inMm, dashes }, k) => {
    let path = '';
    let isDown = false;
    for (let i = 0; i < samples.loop.length; i++) {
      const t = value(i, inMm);
      if (Number.isNaN(t) || samples.arcMm[i] === 0) isDown = false;
      if (Number.isNaN(t)) continue;
      path += `${isDown ? 'L' : 'M'}${x(starts[samples.loop[i]!]! + samples.arcMm[i]!)} ${y(t)}`;
      isDown = true;
    }
    return html`<path d="${path}" fill="none" stroke="${hexColour(rampColour(k * 0.22))}" stroke-width="0.5" stroke-linejoin="round" stroke-dasharray="${dashes}"/>
<path d="M${widthMm - right + 2} ${10 + 5 * k}h6" stroke="${hexColour(rampColour(k * 0.22))}" stroke-width="0.5" stroke-dasharray="${dashes}"/><text x="${widthMm - right + 9.5}" y="${11.2 + 5 * k}">${inMm} mm in</text>`;
  });
  const ticks = [0, 0.25, 0.5, 0.75, 1].map(
    (share) =>
      html`<path d="M${left} ${y(share * top)}H${widthMm - right}" stroke="#ddd" stroke-width="0.2"/><text x="${left - 1.5}" y="${y(share * top) + 1.1}" text-anchor="end">${round(share * top)}</text>`,
  );
  const references = [
    { mm: tearMm, text: 'tears under' },
    { mm: rimStepMm, text: '0.25 mm in: shows over' },
  ].map(
    ({ mm, text }) =>
      html`<path d="M${left} ${y(mm)}H${widthMm - right}" stroke="${hexColour(alarmColour)}" stroke-width="0.25"/><text x="${left + 1}" y="${y(mm) - 0.8}" font-size="2.5" stroke="#fff" stroke-width="0.8" paint-order="stroke">${text} ${round(mm)} mm</text>`,
  );
  const [startX, startY] = [samples.place[0] ?? 0, samples.place[1] ?? 0];
  const every = roundTop(length / 8);
  const marks = Array.from({ length: Math.floor(length / every) + 1 }, (_, k) => k * every).map(
    (mm) => html`<text x="${x(mm)}" y="${8 + chartHigh + 4.5}" text-anchor="middle">${round(mm)}</text>`,
  );
  return html`<text x="${left}" y="5" ><tspan font-weight="700">${number} ${shortName(name, 40)}</tspan>, along the rim from x ${startX.toFixed(0)}, y ${startY.toFixed(0)} mm, anticlockwise</text>
${ticks}${marks}<text x="${widthMm - right + 2}" y="${8 + chartHigh + 4.5}">mm along</text><text x="3" y="5">mm</text>
${lines}${references}`;
}

const round = (value: number): number => Math.round(value * 100) / 100;
