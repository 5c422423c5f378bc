import type { BatchEntry, MixDocument } from '../fill/mix-document.js';
import { assumedWords } from './assumed-text.js';
import { fixed } from './figures.js';
import { grams } from './grams.js';
import { type Html, html, nameHtml } from './html.js';
import type { Fact } from './spray-text.js';

export function times(count: number, what: string, many = `${what}s`): string {
  return `${count} ${count === 1 ? what : many}`;
}

function fillsText(batch: BatchEntry, mix: MixDocument): string {
  const count = (plate: number): number =>
    batch.fills.reduce((sum, fill) => sum + (fill.plate === plate ? fill.count : 0), 0);
  if (mix.plates.length === 1) return `for ${times(count(0), 'fill')}`;
  const plates = [...new Set(batch.fills.map(({ plate }) => plate))];
  return `for ${plates.map((plate) => `plate ${plate + 1} × ${count(plate)}`).join(', ')}`;
}

/** One batch: what to weigh in which order, what a scale that is not tared then shows, and room for what it did show. */
function batchCard(batch: BatchEntry, index: number, mix: MixDocument): Html {
  const { order } = batch;
  const shows = order.map((_, i) => order.slice(0, i + 1).reduce((sum, { massG }) => sum + massG, 0));
  const title = mix.batches.length === 1 ? 'The batch' : `Batch ${index + 1} of ${mix.batches.length}`;
  const material = mix.materials.length > 1 ? mix.materials[batch.material]?.name : undefined;
  const limit = batch.usableMinutes === null ? '' : ` of ${fixed(batch.usableMinutes, 0)} usable`;
  return html`<section class="batch">
<h3>${title} <small>${fillsText(batch, mix)}, in a ${batch.cupMl} ml cup, ${fixed(batch.minutes, 0)}${limit} min at the bench</small></h3>
${material !== undefined && html`<p>${nameHtml(material)}</p>`}
<div class="scroll"><table>
<thead><tr><th>in this order</th><th class="n">weigh, g</th><th class="n">scale shows, g</th><th class="n">done</th><th class="n">weighed, g</th></tr></thead>
<tbody>${order.map(
    ({ part, massG }, i) =>
      html`<tr><td class="big">${nameHtml(part, 30)}</td><td class="n big">${grams(massG)}</td><td class="n">${grams(shows[i])}</td><td class="n"><span class="box"></span></td><td class="n"><span class="line"></span></td></tr>`,
  )}</tbody>
<tfoot><tr><td>in the cup</td><td class="n">${grams(batch.totalG)}</td><td colspan="3" class="n">A to B ${fixed(batch.ratioErrorPct, 1)} % off by the scale's step</td></tr></tfoot>
</table></div>
<div class="fields"><span>A meets B at</span><span>room °C</span><span>last plate scraped at</span><span>lot A</span><span>lot B</span><span>by</span></div>
</section>`;
}

/** What is tinted before the day's first batch. */
export function masterCards(mix: MixDocument): Html | null {
  const due = mix.masters.filter(({ makeG }) => makeG > 0);
  if (due.length === 0) return null;
  return html`${due.map(
    ({ name, makeG, leftG, recipe }) => html`<section class="batch">
<h3>Tint beforehand: ${nameHtml(name)} <small>${grams(makeG)} g to make${leftG > 0 && `, ${grams(leftG)} g left`}</small></h3>
<table><thead><tr><th>part</th><th class="n">weigh, g</th><th class="n">done</th><th class="n">weighed, g</th></tr></thead><tbody>${recipe.map(
      ({ part, massG, drops }) =>
        html`<tr><td class="big">${nameHtml(part, 30)}${drops !== undefined && html` <small>${fixed(drops, 1)} drops</small>`}</td><td class="n big">${grams(massG)}</td><td class="n"><span class="box"></span></td><td class="n"><span class="line"></span></td></tr>`,
    )}</tbody></table></section>`,
  )}`;
}

/** The batches one after the other, with room for the hours that only the day itself can fill in. */
export function timetable(mix: MixDocument): Html {
  const sessions = new Set(mix.batches.map(({ session }) => session)).size;
  return html`<table><thead><tr><th class="n">batch</th>${sessions > 1 && html`<th class="n">session</th>`}<th>pours</th><th class="n">takes<br>min</th><th class="n">usable<br>min</th><th>begun at</th><th>scraped by</th><th>demould at</th></tr></thead>
<tbody>${mix.batches.map(
    (batch, index) =>
      html`<tr><td class="n no">${index + 1}</td>${sessions > 1 && html`<td class="n">${batch.session + 1}</td>`}<td>${fillsText(batch, mix).replace(/^for /, '')}</td><td class="n">${fixed(batch.minutes, 0)}</td><td class="n">${fixed(batch.usableMinutes, 0)}</td>${[1, 2, 3].map(() => html`<td><span class="line"></span></td>`)}</tr>`,
  )}</tbody></table>
${mix.materials.map(
  ({ name, potLife }) =>
    html`<p><b>${nameHtml(name)}</b>: ${
      potLife === null
        ? 'no pot life is known; take it from the data sheet, and pour within 70 % of it.'
        : `pot life about ${fixed(potLife.minutes, 0)} min at ${potLife.atC} °C (${fixed(potLife.rangeMinutes[0], 0)} to ${fixed(potLife.rangeMinutes[1], 0)}; ${potLife.from}), of which 70 % is used.`
    }</p>`,
)}`;
}

/** A label and what stands beside it. */
export function factList(facts: readonly Fact[]): Html {
  return html`<dl>${facts.map(([label, text]) => html`<dt>${label}</dt><dd>${text}</dd>`)}</dl>`;
}

export function weighOut(mix: MixDocument): Html {
  return html`${mix.batches.map((batch, index) => batchCard(batch, index, mix))}`;
}

const from: Record<MixDocument['allowances'][number]['from'], string> = {
  option: 'as given',
  default: 'assumed (common practice)',
  learned: 'learned from the log',
};

/** The figures of common practice that the plan used, as one paragraph. */
export function assumedList({ assumptions }: MixDocument): Html {
  return html`<p>Assumed (common practice, no source): ${assumedWords(assumptions)}.</p>`;
}

/** What is mixed beyond the pieces, and where each figure comes from. */
export function allowanceList(mix: MixDocument): Html | null {
  if (mix.allowances.length === 0) return null;
  return html`<table><thead><tr><th>beyond the pieces, over the whole plan</th><th class="n">g</th><th>figure</th></tr></thead>
<tbody>${mix.allowances.map(({ what, massG, from: source }) => html`<tr><td>${what}</td><td class="n">${grams(massG)}</td><td>${from[source]}</td></tr>`)}</tbody></table>`;
}
