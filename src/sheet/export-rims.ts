import { alarmColour, hexColour } from '../base/ramp.js';
import type { SurveyDocument } from '../base/survey-document.js';
import { fixed } from './figures.js';
import { type Html, html, shortName } from './html.js';

/** What the drawing of rims needs of each cavity beside the document. */
export interface RimZones {
  readonly number: number;
  /** In the order of the document's thin zones: outline in plan, closed loops, x, y per point, and whether it is a fault. */
  readonly zones: readonly { readonly outlineMm: readonly (readonly number[])[]; readonly isPast: boolean }[];
}

const marginMm = 5;

/**
 * Rims and thin zones of the whole plate in mm at 1:1, as one looks into the mould: to print on film and lay on it. Thin zones
 * past the feather allowance are hatched, edges that taper as they should are outlined.
 * Layers are groups with the ids `rims`, `thin-zones`, `air` and `lift`.
 */
export function rimsSvg(document: SurveyDocument, zones: readonly RimZones[]): string {
  const { plate, cavities } = document;
  const width = Math.max(plate.lengthMm ?? 0, ...cavities.map(({ boxMm }) => boxMm[3]), 1);
  const height = Math.max(plate.widthMm ?? 0, ...cavities.map(({ boxMm }) => boxMm[4]), 1);
  const at = (x: number, y: number) => `${mm(x + marginMm)} ${mm(height - y + marginMm)}`;
  const path = (points: readonly number[]) =>
    `M${points.flatMap((x, i) => (i % 2 === 0 ? [at(x, points[i + 1]!)] : [])).join('L')}Z`;
  const [w, h] = [mm(width + 2 * marginMm), mm(height + 2 * marginMm)];
  const alarm = hexColour(alarmColour);
  const cross = ([x, y]: readonly number[], r: number) =>
    `M${at(x! - r, y! - r)}L${at(x! + r, y! + r)}M${at(x! - r, y! + r)}L${at(x! + r, y! - r)}`;

  const rims = cavities.map(
    ({ number, name, rimMm = [], centreMm: [x, y] }) => html`<g><title>${shortName(name, 60)}</title>
<path d="${rimMm.map(path).join('')}"/><text x="${mm(x + marginMm)}" y="${mm(height - y + marginMm)}" stroke="none" fill="#000" font-size="5" text-anchor="middle">${number}</text></g>
`,
  );
  const thin = zones.flatMap(({ number, zones: outlines }) => {
    const records = cavities.find((cavity) => cavity.number === number)?.thinZones ?? [];
    return outlines.map(({ outlineMm, isPast }, k): Html => {
      const zone = records[k];
      const text =
        zone === undefined
          ? ''
          : `${number}: ${zone.inner ? 'thin spot' : `thin for ${fixed(zone.reachMm, 1)} mm in`}, down to ${fixed(zone.minMm, 2)} mm`;
      return html`<path d="${outlineMm.map(path).join('')}"${!isPast && html` fill="none"`}><title>${text}</title></path>
`;
    });
  });
  const air = cavities.flatMap(({ airTraps }) =>
    (airTraps ?? []).map(
      ({ atMm: [x, y] }) => html`<circle cx="${mm(x + marginMm)}" cy="${mm(height - y + marginMm)}" r="2"/>`,
    ),
  );
  const lift = cavities.flatMap(({ liftPointMm }) =>
    liftPointMm === null ? [] : [html`<path d="${cross(liftPointMm, 1.8)}"/>`],
  );
  return html`<svg xmlns="http://www.w3.org/2000/svg" width="${w}mm" height="${h}mm" viewBox="0 0 ${w} ${h}" font-family="sans-serif"><title>Rims and thin zones, 1:1</title>
<defs><pattern id="thin" width="1.2" height="1.2" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0V1.2" stroke="${alarm}" stroke-width="0.6"/></pattern></defs>
<rect x="${marginMm}" y="${marginMm}" width="${mm(width)}" height="${mm(height)}" fill="none" stroke="#000" stroke-width="0.2"/>
<g id="thin-zones" fill="url(#thin)" stroke="${alarm}" stroke-width="0.15">
${thin}</g>
<g id="rims" fill="none" stroke="#000" stroke-width="0.3" stroke-linejoin="round">
${rims}</g>
<g id="air" fill="none" stroke="#000" stroke-width="0.4">${air}</g>
<g id="lift" fill="none" stroke="#000" stroke-width="0.6">${lift}</g>
</svg>
`.text;
}

const mm = (value: number): number => Math.round(value * 1000) / 1000;
