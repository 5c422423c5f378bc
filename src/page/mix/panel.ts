import { plainText } from '../../base/plain-text.js';
import type { MixDocument } from '../../fill/mix-document.js';
import { type EdgeSettings, edgeDefaults } from '../../measure/edge-settings.js';
import { displayUnits, rangeOrDash } from '../../sheet/display-units.js';
import { grams } from '../../sheet/grams.js';
import { alikeBatches, batchTitle, times } from '../../sheet/mix-text.js';
import { barrierFacts, type Fact, vapourFacts } from '../../sheet/spray-text.js';
import { el, fill } from '../dom.js';
import { button } from '../fields.js';
import type { App } from '../state.js';
import type { SurveyClient } from '../survey-client.js';
import { mixForm } from './form.js';
import { edgesFromForm, planFromForm } from './plan.js';

/** Keeps the plan in step with the survey, the form and the shelf. */
export function keepPlanned(app: App): void {
  app.watch(['survey', 'mixForm', 'shelf', 'logText'], ({ survey, mixForm, shelf, logText }) => {
    if (survey === null) return app.set({ mix: null, mixFault: null });
    const { mix, fault } = planFromForm(mixForm, survey, shelf, logText);
    app.set({ mix, mixFault: fault });
  });
}

/** Batches that are weighed alike, as one card. */
function batchCard(mix: MixDocument, alike: readonly number[]): HTMLElement {
  const batch = mix.batches[alike[0]!]!;
  return el(
    'div',
    { class: 'batch' },
    el('h3', {}, batchTitle(mix, alike, { units: displayUnits.metric, width: 200 })),
    partList(batch.order),
    el('p', { class: 'soft' }, `${grams(batch.totalG)} g in the cup`),
  );
}

function partList(parts: readonly { part: string; massG: number }[]): HTMLElement {
  return el(
    'ul',
    { class: 'parts' },
    parts.map(({ part, massG }) => el('li', {}, el('span', {}, plainText(part)), el('b', {}, `${grams(massG)} g`))),
  );
}

function facts(title: string, list: readonly Fact[]): HTMLElement {
  return el(
    'section',
    { class: 'facts' },
    el('h3', {}, title),
    el(
      'dl',
      {},
      list.map(([label, text]) => el('div', {}, el('dt', {}, label), el('dd', {}, text))),
    ),
  );
}

const sources = { option: 'as given', default: 'assumed', learned: 'learned from the log' };

function result(app: App): HTMLElement {
  const box = el('div', { class: 'result' });
  app.watch(['mix', 'mixFault'], ({ mix, mixFault }) => {
    if (mixFault !== null) {
      fill(box, el('p', { class: 'fault' }, `${mixFault.message} ${mixFault.remedy ?? ''}`));
      return;
    }
    if (mix === null) return fill(box);
    const pieces = mix.perFill.reduce((sum, fillEntry) => sum + fillEntry.massG * fillEntry.count, 0);
    fill(
      box,
      mix.masters
        .filter(({ makeG }) => makeG > 0)
        .map(({ name, makeG, recipe }) => [
          el('h3', {}, `Tint beforehand: ${plainText(name)}, ${grams(makeG)} g to make`),
          partList(recipe),
        ]),
      alikeBatches(mix.batches).map((alike) => batchCard(mix, alike)),
      el(
        'table',
        { class: 'sums' },
        el(
          'tbody',
          {},
          mix.perFill.map((entry) =>
            el(
              'tr',
              {},
              el('th', { scope: 'row' }, `one fill of ${times(entry.cavities.length, 'piece')}`),
              el('td', { class: 'n' }, `${grams(entry.massG)} g`),
              el('td', {}, rangeOrDash(entry.massRangeG, displayUnits.metric)),
            ),
          ),
          el(
            'tr',
            {},
            el('th', { scope: 'row' }, 'all pieces'),
            el('td', { class: 'n' }, `${grams(pieces)} g`),
            el('td'),
          ),
          mix.allowances.map(({ what, massG, from }) =>
            el(
              'tr',
              {},
              el('th', { scope: 'row' }, what),
              el('td', { class: 'n' }, `${grams(massG)} g`),
              el('td', {}, sources[from]),
            ),
          ),
        ),
      ),
      mix.materials.some(({ typical }) => typical) &&
        el(
          'p',
          { class: 'warn' },
          'Typical figures: put in the ratio and density of your data sheet before you weigh.',
        ),
      mix.barrier !== null && facts('Barrier', barrierFacts(mix.barrier)),
      mix.vapour !== null && facts('Air in the room', vapourFacts(mix.vapour)),
    );
  });
  return box;
}

/** Offers to judge the edges anew, where the mix is not what the survey judged them for and the mould is at hand. */
function judgeAgain(app: App, client: SurveyClient): HTMLElement {
  const box = el('p', { class: 'row judge' });
  app.watch(['mix', 'edges', 'mesh'], ({ survey, mixForm, shelf, edges, mesh }) => {
    const wanted = survey === null ? null : edgesFromForm(mixForm, shelf);
    box.hidden = wanted === null || mesh === null || alike(wanted, edges);
    fill(
      box,
      el('span', {}, 'The edges were judged for another way of casting or another tear strength.'),
      button('Judge them for this mix', () => {
        if (wanted !== null && mesh !== null) void client.start(mesh.file, mesh.unit, wanted);
      }),
    );
  });
  return box;
}

function alike(a: EdgeSettings, b: EdgeSettings): boolean {
  const way = ({ way: given }: EdgeSettings) => given ?? edgeDefaults.way;
  return way(a) === way(b) && a.tearNPerMm === b.tearNPerMm && a.elongationPct === b.elongationPct;
}

/** The mix beside the picture: what is typed on the one side, the grams on the other. */
export function mixPanel(app: App, client: SurveyClient): HTMLElement {
  const section = el(
    'section',
    { class: 'panel mix', 'aria-labelledby': 'mix-title' },
    el('h2', { id: 'mix-title' }, 'Mix'),
    mixForm(app),
    judgeAgain(app, client),
    result(app),
  );
  app.watch(['survey'], ({ survey }) => {
    section.hidden = survey === null;
  });
  return section;
}
