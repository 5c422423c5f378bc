import { plainText } from '../base/plain-text.js';
import type { CavityRecord, SurveyDocument } from '../base/survey-document.js';
import { fixed } from '../sheet/figures.js';
import { grams } from '../sheet/grams.js';
import { watchWords } from '../sheet/run-sheet.js';
import { thinZoneText } from '../sheet/run-sheet-zones.js';
import { edgeMeasures, mainMeasures, mlPerMm3 } from '../sheet/survey-columns.js';
import { el, fill } from './dom.js';
import { button, tick } from './fields.js';
import { nameInput } from './names.js';
import { type App, findingsNow } from './state.js';

const heads = [
  ['no', '', ''],
  ['piece', '', ''],
  ['volume', 'ml', 'n'],
  ['mass', 'g', 'n'],
  ['depth', 'mm', 'n more'],
  ['least', 'mm', 'n more'],
  ['watch', '', 'watch'],
] as const;

function row(cavity: CavityRecord, survey: SurveyDocument, app: App): HTMLTableRowElement {
  const [volume] = mainMeasures(survey.cavities);
  const pick = () => app.set({ picked: app.now.picked === cavity.number ? null : cavity.number });
  return el(
    'tr',
    {
      'data-cavity': cavity.number,
      onclick: (event: MouseEvent) => {
        if (!(event.target as Element).closest('input, button, label')) pick();
      },
    },
    el(
      'td',
      {},
      button(String(cavity.number), pick, {
        class: 'number',
        'aria-pressed': 'false',
        'aria-label': `cavity ${cavity.number}`,
      }),
    ),
    el('td', { class: 'piece' }, nameInput(cavity, app)),
    el('td', { class: 'n' }, volume!.value(cavity)),
    el('td', { class: 'n mass' }),
    el('td', { class: 'n more' }, fixed(cavity.depthMm, 2)),
    el('td', { class: 'n more' }, fixed(cavity.thickness?.minMm, 2)),
    el('td', { class: 'watch' }),
  );
}

/** Whether the plan fills a cavity. */
function emptyTick({ number }: CavityRecord, app: App): HTMLElement {
  return tick('leave it empty in this plan', app.now.mixForm.left.includes(number), (empty) => {
    const { mixForm } = app.now;
    const others = mixForm.left.filter((left) => left !== number);
    app.set({ mixForm: { ...mixForm, left: empty ? [...others, number] : others } });
  });
}

/** Every figure of one cavity, in the same units and decimals as the text of the command line. */
function details(cavity: CavityRecord, survey: SurveyDocument): HTMLElement {
  const measures = [...mainMeasures(survey.cavities), ...edgeMeasures.filter((measure) => measure.known?.(cavity))];
  const pairs: [string, string][] = measures.map((measure) => {
    const words = measure.head.filter((word) => word !== '');
    return [words.slice(0, -1).join(' ') || 'give or take', `${measure.value(cavity)} ${words.at(-1)}`];
  });
  const lift = cavity.liftPointMm;
  const zones = (cavity.thinZones ?? []).toSorted((a, b) => b.areaMm2 - a.areaMm2);
  return el(
    'div',
    { class: 'details' },
    el(
      'dl',
      {},
      pairs.map(([what, figure]) => el('div', {}, el('dt', {}, what), el('dd', {}, figure))),
    ),
    el(
      'ul',
      {},
      zones.slice(0, 6).map((zone) => el('li', {}, thinZoneText(zone))),
      zones.length > 6 && el('li', {}, `and ${zones.length - 6} smaller thin places.`),
      cavity.airTraps?.map((trap) =>
        el(
          'li',
          {},
          `Air stays in here: ${fixed(trap.volumeMm3 * mlPerMm3, 3)} ml. Brush a first coat in and massage it out.`,
        ),
      ),
      lift &&
        el('li', {}, `Start lifting at x ${fixed(lift[0], 0)}, y ${fixed(lift[1], 0)} mm, at the mark in the picture.`),
    ),
  );
}

/** The table of cavities: pick one here or in the picture, and both follow. */
export function cavityTable(app: App): HTMLElement {
  const body = el('tbody');
  const foot = el('tfoot');
  const open = el('div', { class: 'picked', 'aria-live': 'polite' });
  const section = el(
    'section',
    { class: 'panel cavities', 'aria-labelledby': 'cavities-title' },
    el('h2', { id: 'cavities-title' }, 'Cavities'),
    el(
      'div',
      { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': 'table of cavities' },
      el(
        'table',
        {},
        el(
          'thead',
          {},
          el(
            'tr',
            {},
            heads.map(([head, unit, look]) =>
              el('th', { scope: 'col', class: look }, head, unit !== '' && [' ', el('br'), unit]),
            ),
          ),
        ),
        body,
        foot,
      ),
    ),
    open,
  );
  let shown: SurveyDocument['findings'] | null = null;
  app.watch(['survey'], ({ survey }) => {
    section.hidden = survey === null;
    // A name that is being typed changes the document at every key; the rows stay, or the cursor would be lost.
    if (survey === null || survey.findings === shown) return;
    shown = survey.findings;
    fill(
      body,
      survey.cavities.map((cavity) => row(cavity, survey, app)),
    );
    const [volume] = mainMeasures(survey.cavities);
    fill(
      foot,
      el(
        'tr',
        {},
        el('td'),
        el('td', {}, 'all'),
        el('td', { class: 'n' }, volume!.sum!(survey)),
        el('td', { class: 'n mass' }),
        el('td', { class: 'more' }),
        el('td', { class: 'more' }),
        el('td'),
      ),
    );
  });
  app.watch(['survey', 'mix'], (state) => {
    const { survey, mix } = state;
    const findings = findingsNow(state);
    for (const line of body.rows) {
      const number = Number(line.dataset.cavity);
      const cavity = survey?.cavities.find((one) => one.number === number);
      line.querySelector('.watch')!.textContent = cavity === undefined ? '' : watchWords(cavity, findings);
      line.querySelector('.mass')!.textContent = grams(mix?.perCavity.find((entry) => entry.number === number)?.massG);
    }
    const first = mix?.perFill[0];
    const whole = mix?.perFill.length === 1 && first?.cavities.length === mix.perCavity.length;
    const sum = foot.querySelector('.mass');
    if (sum !== null) sum.textContent = whole ? grams(first?.massG) : '';
  });
  app.watch(['survey', 'picked'], ({ survey, picked }) => {
    for (const line of body.rows) {
      const own = Number(line.dataset.cavity) === picked;
      line.classList.toggle('on', own);
      line.querySelector('button')!.setAttribute('aria-pressed', String(own));
      if (own) line.scrollIntoView({ block: 'nearest' });
    }
    const cavity = survey?.cavities.find(({ number }) => number === picked);
    fill(
      open,
      cavity &&
        survey && [
          el('h3', {}, `${cavity.number} ${plainText(cavity.name).slice(0, 60)}`),
          emptyTick(cavity, app),
          details(cavity, survey),
        ],
    );
  });
  return section;
}
