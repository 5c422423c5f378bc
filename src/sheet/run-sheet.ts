import type { Finding } from '../base/finding.js';
import type { CavityRecord, SurveyDocument } from '../base/survey-document.js';
import type { MixDocument } from '../fill/mix-document.js';
import { displayUnits, rangeOrDash } from './display-units.js';
import { fixed } from './figures.js';
import { findingSentences, type Sentence } from './findings-text.js';
import { grams } from './grams.js';
import { Html, html, nameHtml, shortName } from './html.js';
import { planFigures } from './run-sheet-plan.js';
import { type Paper, runSheetStyle } from './run-sheet-style.js';
import { allowanceList, assumedList, factList, masterCards, times, timetable, weighOut } from './run-sheet-weigh.js';
import { zonePictures } from './run-sheet-zones.js';
import { barrierFacts, vapourFacts } from './spray-text.js';

export interface RunSheetInput {
  /** The surveys that the mix was planned from, in the order of `mix.plates`; empty where pieces were weighed. */
  readonly surveys: readonly SurveyDocument[];
  readonly mix: MixDocument;
  /** The day the sheet is made, as it is to be shown. Given from outside, so that the same input gives the same sheet. */
  readonly date: string;
  readonly paper?: Paper | undefined;
}

const words: Record<Finding['severity'], string> = { stop: 'STOP', caution: 'Caution', note: 'Note' };

function baseName(path: string): string {
  return path.split(/[\\/]/).at(-1) ?? path;
}

function findingItem({ finding: { severity, code }, text }: Sentence): Html {
  return html`<li class="${severity}"><b>${words[severity]}:</b> ${text} <small>[${code}]</small></li>`;
}

/** The surveys with their findings as the plan passes them on: a barrier takes some of them away. */
function asPlanned({ surveys, mix }: RunSheetInput): SurveyDocument[] {
  const ofPlate = (index: number) => mix.findings.filter(({ plate }) => plate === undefined || plate === index);
  return surveys.map((survey, index) => ({ ...survey, findings: ofPlate(index) }));
}

function allFindings(mix: MixDocument): Sentence[] {
  const nameOf = (cavity: number): string | undefined => {
    const name = mix.perCavity.find(({ number }) => number === cavity)?.name;
    return mix.plates.length > 1 || name === undefined ? undefined : shortName(name, 40);
  };
  return findingSentences(mix.findings, nameOf);
}

/** In a word each, what to watch on a piece: the cautions about it, and whether it must stretch to come out. */
export function watchWords(cavity: CavityRecord, findings: readonly Finding[]): string {
  const own = findings.filter(({ severity, cavity: number }) => severity !== 'note' && number === cavity.number);
  const words = own.map(({ code }) => code.replaceAll('-', ' '));
  if ((cavity.undercut?.overhangMm ?? 0) > 0) words.push('undercut');
  return [...new Set(words)].join(', ');
}

function cavityTable(survey: SurveyDocument | undefined, mix: MixDocument, plate: number): Html {
  const entries = mix.perCavity.filter((entry) => entry.plate === plate);
  // The parts stand in the table where all pieces share one material; else the batches show them.
  const parts = mix.materials.length > 1 ? [] : (entries[0]?.partsG.map(({ part }) => part) ?? []).slice(0, 3);
  const fills = mix.perFill.filter((fill) => fill.plate === plate);
  const byNumber = new Map(survey?.cavities.map((cavity) => [cavity.number, cavity]));
  const unplanned = survey?.cavities.filter(({ number }) => !entries.some((entry) => entry.number === number)) ?? [];
  return html`<div class="scroll"><table>
<thead><tr><th class="n">no</th><th>piece</th><th class="n">volume<br>ml</th><th class="n">mass<br>g</th><th class="n">from to<br>g</th>${parts.map((part) => html`<th class="n">${shortName(part, 12)}<br>g</th>`)}<th class="n">depth<br>mm</th><th>watch</th><th class="n">cast</th></tr></thead>
<tbody>${entries.map((entry) => {
    const cavity = byNumber.get(entry.number);
    return html`<tr><td class="n no">${entry.number}</td><td class="piece">${nameHtml(entry.name)}</td><td class="n">${fixed(entry.volumeMl, 3)}</td><td class="n"><b>${grams(entry.massG)}</b></td><td class="n">${rangeOrDash(entry.massRangeG, displayUnits.metric)}</td>${parts.map((_, i) => html`<td class="n">${grams(entry.partsG[i]?.massG)}</td>`)}<td class="n">${fixed(cavity?.depthMm, 2)}</td><td>${cavity && survey && watchWords(cavity, survey.findings)}</td><td class="n"><span class="box"></span></td></tr>`;
  })}${unplanned.map((cavity) => html`<tr><td class="n no">${cavity.number}</td><td>${nameHtml(cavity.name)}</td><td colspan="${parts.length + 5}">left empty in this plan</td><td></td></tr>`)}</tbody>
<tfoot>${fills.map((fill) => html`<tr><td></td><td>one fill of ${times(fill.cavities.length, 'piece')}</td><td class="n">${fixed(fill.volumeMl, 3)}</td><td class="n">${grams(fill.massG)}</td><td class="n">${rangeOrDash(fill.massRangeG, displayUnits.metric)}</td><td colspan="${parts.length + 3}"></td></tr>`)}</tfoot>
</table></div>`;
}

function keyFigures(mix: MixDocument): Html {
  const fills = mix.plates.reduce((sum, plate) => sum + plate.fills, 0);
  const totals = new Map<string, number>();
  for (const batch of mix.batches) {
    for (const { part, massG } of batch.parts) totals.set(part, (totals.get(part) ?? 0) + massG);
  }
  const all = mix.batches.reduce((sum, batch) => sum + batch.totalG, 0);
  return html`<ul class="key">
<li><b>${times(fills, 'fill')}</b>of ${times(mix.perCavity.length, 'piece')}</li>
<li><b>${times(mix.batches.length, 'batch', 'batches')}</b>to weigh out</li>
<li><b>${grams(all)} g</b>in all</li>
${mix.materials.length === 1 && [...totals].map(([part, massG]) => html`<li><b>${grams(massG)} g</b>${nameHtml(part, 20)}</li>`)}
</ul>`;
}

function materialLines(mix: MixDocument): Html {
  return html`${mix.materials.map(
    ({ name, ratio: [a, b], ratioBy, densityGPerMl, typical }) =>
      html`<p><b>${nameHtml(name)}</b>: A to B ${a} : ${b} by ${ratioBy}, ${fixed(densityGPerMl, 3)} g/ml mixed${typical && html`. <b>Typical figures: use your data sheet's before you weigh.</b>`}</p>`,
  )}`;
}

function sourceList(survey: SurveyDocument): Html {
  const { file, bytes, sha256, triangles, unit } = survey.source;
  return html`<dl><dt>file</dt><dd>${nameHtml(file, 200)}</dd><dt>size</dt><dd>${bytes} bytes, ${triangles} triangles, read in ${unit}</dd><dt>SHA-256</dt><dd>${sha256}</dd></dl>`;
}

/**
 * The run sheet that hangs beside the scale: one HTML file that needs no script and no network to be read.
 * The same input gives the same bytes.
 */
export function runSheet(input: RunSheetInput): string {
  const { mix, date, paper = 'any' } = input;
  const surveys = asPlanned(input);
  const first = surveys[0];
  const title =
    surveys.map((survey) => shortName(baseName(survey.source.file), 60)).join(' + ') || 'pieces weighed once';
  const findings = allFindings(mix);
  const stops = findings.filter(({ finding }) => finding.severity === 'stop');
  const grave = findings.filter(({ finding }) => finding.severity !== 'note');
  const notes = findings.filter(({ finding }) => finding.severity === 'note');
  const footer = `run sheet ${date} ${first === undefined ? '' : `file ${first.source.sha256.slice(0, 12)}`}`;
  const pictures = surveys.map((survey) => zonePictures(survey));
  const page = html`<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'">
<title>Run sheet: ${title}</title><style>${new Html(runSheetStyle(paper, footer))}</style></head><body>
<header class="head"><h1><bdi>${title}</bdi></h1><p><b>Run sheet</b><br>${date}</p></header>
${keyFigures(mix)}
${materialLines(mix)}
${stops.length > 0 && html`<ul class="say">${stops.map(findingItem)}</ul>`}
${mix.plates.map((plate, index) => {
  const survey = surveys[index];
  return html`<h2>${mix.plates.length > 1 ? html`Plate ${index + 1}: ${nameHtml(plate.file ?? 'pieces weighed once')}` : 'Plate and pieces'}</h2>
${survey !== undefined && planFigures(survey)}
${cavityTable(survey, mix, index)}`;
})}
<h2>Weigh out</h2>
${masterCards(mix)}
${weighOut(mix)}
${allowanceList(mix)}
${assumedList(mix)}
<section class="day"><h2>The day</h2>${timetable(mix)}</section>
${mix.barrier !== null && html`<h2>Barrier</h2>${factList(barrierFacts(mix.barrier))}`}
${mix.vapour !== null && html`<h2>Air in the room</h2>${factList(vapourFacts(mix.vapour))}`}
${pictures.some((picture) => picture !== null) && html`<h2>Thin places and air</h2>${pictures}`}
${findings.length > 0 && html`<h2>Findings</h2><ul class="say">${grave.map(findingItem)}</ul><ul class="say notes">${notes.map(findingItem)}</ul>`}
${mix.cautions.length > 0 && html`<h2>Cautions</h2><ul class="say">${mix.cautions.map((caution) => html`<li>${caution}</li>`)}</ul>`}
${surveys.length > 0 && html`<h2>Source</h2>${surveys.map(sourceList)}`}
</body></html>
`;
  return page.text;
}
