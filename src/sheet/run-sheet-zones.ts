import type { Finding } from '../base/finding.js';
import type { CavityRecord, SurveyDocument, ThinZoneRecord } from '../base/survey-document.js';
import { fixed } from './figures.js';
import { type Html, html, nameHtml } from './html.js';
import { inPlan, type PlanShape, planOf } from './plan-shapes.js';

/** What a thin zone is, in words for the bench. */
export function thinZoneText(zone: ThinZoneRecord): string {
  const least = `down to ${fixed(zone.minMm, 2)} mm thick`;
  const area = `${fixed(zone.areaMm2, zone.areaMm2 < 10 ? 1 : 0)} mm²`;
  return zone.inner
    ? `Thin spot inside the piece, ${least}, ${area}.`
    : `Thin edge, ${least}: thin for ${fixed(zone.reachMm, 1)} mm in from the rim, along ${fixed(zone.rimSpanMm, 0)} mm of it.`;
}

/** The stretch of rim, as plan points, that lies within half the zone's span of its place, both ways along the loop. */
function rimStretch(cavity: CavityRecord, shape: PlanShape, zone: ThinZoneRecord): [number, number][] {
  let loop: [number, number][] = [];
  let at = -1;
  let nearest = Number.POSITIVE_INFINITY;
  const [x, y] = inPlan(shape, zone.atMm);
  for (const rim of cavity.rimMm ?? []) {
    const points = rim.flatMap((px, i) => (i % 2 === 0 ? [inPlan(shape, [px, rim[i + 1]!])] : []));
    const dense = points.flatMap((from, i) => {
      const to = points[(i + 1) % points.length]!;
      const steps = Math.max(1, Math.ceil(Math.hypot(to[0] - from[0], to[1] - from[1]) / 0.5));
      return Array.from({ length: steps }, (_, k): [number, number] => [
        from[0] + ((to[0] - from[0]) * k) / steps,
        from[1] + ((to[1] - from[1]) * k) / steps,
      ]);
    });
    dense.forEach(([px, py], i) => {
      const away = (px - x) ** 2 + (py - y) ** 2;
      if (away < nearest) [nearest, at, loop] = [away, i, dense];
    });
  }
  if (at < 0) return [];
  const stretch = [loop[at]!];
  for (const step of [1, -1]) {
    let run = 0;
    for (let i = 1; i < loop.length / 2; i++) {
      const [from, to] = [loop.at((at + step * (i - 1)) % loop.length)!, loop.at((at + step * i) % loop.length)!];
      run += Math.hypot(to[0] - from[0], to[1] - from[1]);
      if (run > zone.rimSpanMm / 2) break;
      if (step === 1) stretch.push(to);
      else stretch.unshift(to);
    }
  }
  return stretch;
}

const letter = (index: number): string => String.fromCharCode(97 + (index % 26));

function zoneMark(cavity: CavityRecord, shape: PlanShape, zone: ThinZoneRecord, index: number, unit: number): Html {
  const hatch = `url(#thin-${shape.number})`;
  const stretch = zone.inner ? [] : rimStretch(cavity, shape, zone);
  const [x, y] = inPlan(shape, zone.atMm);
  const path = stretch.map(([px, py]) => `${px.toFixed(2)} ${py.toFixed(2)}`).join('L');
  const mark =
    stretch.length > 1
      ? html`<path d="M${path}" fill="none" stroke="${hatch}" stroke-width="${2 * Math.max(zone.reachMm, 1)}" clip-path="url(#inside-${shape.number})"/>`
      : html`<circle cx="${x}" cy="${y}" r="${Math.max(0.8, Math.sqrt(zone.areaMm2 / Math.PI))}" fill="${hatch}" stroke="#000" stroke-width="${unit * 0.3}"/>`;
  // The letter stands outside the rim, on the far side from the middle, where it hides nothing.
  const [dx, dy] = [x - shape.centre[0], y - shape.centre[1]];
  const away = Math.hypot(dx, dy) || 1;
  const off = zone.inner ? 4 * unit : 5 * unit;
  return html`${mark}<text x="${(x + (dx / away) * off).toFixed(2)}" y="${(y + (dy / away) * off).toFixed(2)}" font-size="${4.5 * unit}" font-weight="700" text-anchor="middle" dominant-baseline="central" stroke="#fff" stroke-width="${unit}" paint-order="stroke">${letter(index)}</text>`;
}

/** A rough wall has many small thin zones; the largest are drawn, the others counted. */
const mostZones = 6;

/** A cavity that has something to be mended or watched, as a picture of known scale with its list. */
function zoneCard(cavity: CavityRecord, shape: PlanShape): Html {
  const [xMin, yMin, xMax, yMax] = shape.box;
  const size = Math.max(xMax - xMin, yMax - yMin);
  const scale = size < 30 ? 2 : size < 90 ? 1 : 0.5;
  const unit = 1 / scale;
  const margin = 8 * unit;
  const [width, height] = [xMax - xMin + 2 * margin, yMax - yMin + 2 * margin];
  const zones = (cavity.thinZones ?? []).toSorted((a, b) => b.areaMm2 - a.areaMm2).slice(0, mostZones);
  const more = (cavity.thinZones ?? []).length - zones.length;
  const traps = cavity.airTraps ?? [];
  const wedge = ([x, y]: readonly [number, number]): string => {
    const [half, high] = [1.8 * unit, 2.8 * unit];
    return `M${x} ${y}L${x - half} ${y - high}H${x + half}Z`;
  };
  return html`<div class="zone">
<b class="no">${cavity.number}</b> <b>${nameHtml(cavity.name)}</b> <small>drawn ${scale >= 1 ? `${scale} : 1` : '1 : 2'}, in the mould</small>
<svg width="${(width * scale).toFixed(2)}mm" height="${(height * scale).toFixed(2)}mm" viewBox="${(xMin - margin).toFixed(2)} ${(yMin - margin).toFixed(2)} ${width.toFixed(2)} ${height.toFixed(2)}" role="img" aria-label="Cavity ${cavity.number} with its marks">
<defs><pattern id="thin-${shape.number}" width="${1.2 * unit}" height="${1.2 * unit}" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0V${1.2 * unit}" stroke="#000" stroke-width="${1.3 * unit}"/></pattern>
<clipPath id="inside-${shape.number}"><path d="${shape.path}" clip-rule="evenodd"/></clipPath></defs>
<path d="${shape.path}" fill="none" stroke="#000" stroke-width="${0.4 * unit}" fill-rule="evenodd" ${shape.measured ? '' : html`stroke-dasharray="${unit} ${unit}"`}/>
${zones.map((zone, index) => zoneMark(cavity, shape, zone, index, unit))}
${traps.map((trap) => {
  const [x, y] = inPlan(shape, trap.atMm);
  return html`<circle cx="${x}" cy="${y}" r="${2 * unit}" fill="#fff" stroke="#000" stroke-width="${0.5 * unit}"/><circle cx="${x}" cy="${y}" r="${0.6 * unit}"/>`;
})}
${cavity.liftPointMm !== null && html`<path d="${wedge(inPlan(shape, cavity.liftPointMm))}" stroke="#fff" stroke-width="${0.3 * unit}"/>`}
</svg>
<ul class="say">
${zones.map((zone, index) => html`<li><b>${letter(index)}</b> ${thinZoneText(zone)}</li>`)}
${more > 0 && html`<li>and ${more} smaller thin places.</li>`}
${traps.length > 0 && html`<li><b>◉</b> Air stays here (${traps.map((trap) => `${fixed(trap.volumeMm3 / 1000, 3)} ml`).join(', ')}): brush a first coat in and massage it out.</li>`}
${cavity.liftPointMm !== null && html`<li><b>▼</b> Start lifting here.</li>`}
</ul></div>`;
}

/**
 * Zones worth a picture: every good edge runs out thin, so an edge is drawn only where a finding cautions about one.
 */
export function zonesToDraw(cavity: CavityRecord, findings: readonly Finding[]): ThinZoneRecord[] {
  const cautions = new Set(
    findings.filter((found) => found.severity !== 'note' && found.cavity === cavity.number).map(({ code }) => code),
  );
  return (cavity.thinZones ?? []).filter((zone) => cautions.has(zone.inner ? 'thin-inside' : 'thin-edge'));
}

/** Pictures of the cavities with thin places that are cautioned about, or air; nothing where there are none. */
export function zonePictures(document: SurveyDocument): Html | null {
  const { shapes } = planOf(document, 'mould');
  const marked = document.cavities
    .map((cavity, index) => ({
      cavity: { ...cavity, thinZones: zonesToDraw(cavity, document.findings) },
      shape: shapes[index]!,
    }))
    .filter(({ cavity }) => cavity.thinZones.length + (cavity.airTraps?.length ?? 0) > 0);
  if (marked.length === 0) return null;
  return html`<div class="zones">${marked.map(({ cavity, shape }) => zoneCard(cavity, shape))}</div>`;
}
