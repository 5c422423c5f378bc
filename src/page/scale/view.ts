import { plainText } from '../../base/plain-text.js';
import { tolerancePct } from '../../fill/bench/retarget.js';
import { runFromMix } from '../../fill/log/run-from-mix.js';
import type { MixDocument } from '../../fill/mix-document.js';
import { displayUnits } from '../../sheet/display-units.js';
import { fixed } from '../../sheet/figures.js';
import { grams } from '../../sheet/grams.js';
import { batchTitle } from '../../sheet/mix-text.js';
import { el, fill } from '../dom.js';
import { button, segments } from '../fields.js';
import { addToLog } from '../log/book.js';
import { limits, typedNumber } from '../mix/plan.js';
import type { App } from '../state.js';
import { type Reading, type Weighing, weighing } from './weighing.js';

/** At the scale: one part at a time, in figures that are read from where one stands, with keys for gloved fingers. */
export function scaleView(app: App): HTMLElement {
  let batch = 0;
  let readings: Reading[] = [];
  let running = false;
  let typed = '';
  let shown: MixDocument | null = null;
  const section = el('section', { class: 'panel scale', 'aria-label': 'at the scale' });

  app.watch(['view', 'mix'], ({ view, mix }) => {
    section.hidden = view !== 'scale';
    if (mix !== shown) {
      // Another plan: what was weighed for the one before does not count for it.
      shown = mix;
      [batch, readings, typed] = [0, [], ''];
    }
    if (view === 'scale') draw();
  });
  section.addEventListener('keydown', (event) => {
    if ((event.target as Element).closest('input[type=radio]') !== null) return;
    if (/^[\d.,]$/.test(event.key)) type(event.key);
    else if (event.key === 'Backspace') type('back');
    else if (event.key === 'Enter' && (event.target as Element).closest('button') === null) take();
    else return;
    event.preventDefault();
  });
  return section;

  function stepG(): number | undefined {
    const step = typedNumber(app.now.mixForm.scaleStepG);
    return step !== undefined && step >= limits.scaleStepG.least ? step : undefined;
  }

  function now(mix: MixDocument): Weighing {
    const entry = mix.batches[batch]!;
    return weighing(entry, mix.materials[entry.material]!, readings, running, stepG());
  }

  function type(key: string): void {
    if (key === 'back') typed = typed.slice(0, -1);
    else if (typed.length < 8 && !((key === '.' || key === ',') && /[.,]/.test(typed)))
      typed += key === ',' ? '.' : key;
    const screen = section.querySelector('.typed');
    if (screen !== null) screen.textContent = typed === '' ? '0' : typed;
  }

  /** Takes what was typed for the part that is due. */
  function take(): void {
    const { mix } = app.now;
    const value = typedNumber(typed);
    const part = mix && now(mix).next?.part;
    if (!part || value === undefined || !(value > 0) || value > 1e5) return;
    if (running && readings.length > 0 && value < readings.at(-1)!.shownG) {
      app.set({ say: `The scale showed ${grams(readings.at(-1)!.shownG)} g before; it cannot show less now.` });
      return;
    }
    readings = [...readings, { part, shownG: value }];
    typed = '';
    draw();
    section.querySelector<HTMLElement>('.due')?.focus();
  }

  function finish(mix: MixDocument): void {
    const { targets } = now(mix);
    const weighed = targets.map(({ part, inCupG }) => ({ part, massG: Number(inCupG.toFixed(3)) }));
    const entry = addToLog(app, { kind: 'run', run: runFromMix(mix, batch, { weighed, casts: [], leftG: 0 }) });
    readings = [];
    batch = Math.min(batch + 1, mix.batches.length - 1);
    app.set({ say: `Logged as run ${entry}. Weigh the cured pieces in under Log.` });
    draw();
  }

  function draw(): void {
    const { mix } = app.now;
    if (mix === null || mix.batches.length === 0) {
      fill(section, el('p', {}, 'There is nothing to weigh: open a plate and plan its mix first.'));
      return;
    }
    const state = now(mix);
    fill(section, top(mix), state.next === null ? done(mix, state) : due(state), cup(state));
  }

  function top(mix: MixDocument): HTMLElement {
    const go = (step: number) => () => {
      batch += step;
      [readings, typed] = [[], ''];
      draw();
    };
    return el(
      'div',
      { class: 'row scale-top' },
      mix.batches.length > 1 && button('◀', go(-1), { 'aria-label': 'batch before', disabled: batch === 0 }),
      el('h2', {}, batchTitle(mix, [batch], { units: displayUnits.metric, width: 200 })),
      mix.batches.length > 1 &&
        button('▶', go(1), { 'aria-label': 'next batch', disabled: batch === mix.batches.length - 1 }),
      segments(
        'the scale',
        [
          ['tared', 'tared each time'],
          ['running', 'runs on'],
        ],
        running ? 'running' : 'tared',
        (value) => {
          // What was typed so far is kept in the sense it was typed in: a running total is turned into single masses and back.
          readings = converted(readings, running);
          running = value === 'running';
          draw();
        },
      ),
    );
  }

  function due(state: Weighing): HTMLElement {
    const { next, showG } = state;
    const keys = ['7', '8', '9', '4', '5', '6', '1', '2', '3', '.', '0'].map((key) => button(key, () => type(key)));
    return el(
      'div',
      { class: 'weigh' },
      el(
        'div',
        { class: 'due', tabindex: -1, role: 'status' },
        el('p', { class: 'part' }, plainText(next!.part)),
        el('p', { class: 'target' }, grams(showG), el('small', {}, ' g')),
        el('p', { class: 'soft' }, running ? 'until the scale shows this' : 'to weigh in, scale tared'),
      ),
      el(
        'div',
        { class: 'pad' },
        el(
          'p',
          { class: 'screen' },
          el('span', { class: 'soft' }, 'scale shows '),
          el('output', { class: 'typed' }, typed === '' ? '0' : typed),
          ' g',
        ),
        el(
          'div',
          { class: 'keys-of-pad' },
          keys,
          button('⌫', () => type('back'), { 'aria-label': 'delete the last digit' }),
        ),
        button('Take it', take, { class: 'main take' }),
      ),
    );
  }

  function done(mix: MixDocument, { offPct }: Weighing): HTMLElement {
    const off = `${fixed(offPct, 1)} % off the ratio`;
    return el(
      'div',
      { class: 'weigh done' },
      el(
        'div',
        { class: 'due', tabindex: -1, role: 'status' },
        el('p', { class: 'part' }, 'All in'),
        el(
          'p',
          {},
          offPct < tolerancePct
            ? `${off}: carry on.`
            : `${off}: that is over ${tolerancePct} %. Look at the data sheet before you use it.`,
        ),
      ),
      button('Log this cup', () => finish(mix), { class: 'main take' }),
    );
  }

  function cup({ targets, inCupG, totalG }: Weighing): HTMLElement {
    return el(
      'div',
      { class: 'cup' },
      el(
        'table',
        {},
        el(
          'thead',
          {},
          el(
            'tr',
            {},
            el('th', { scope: 'col' }, 'part'),
            el('th', { scope: 'col', class: 'n' }, 'in the cup, g'),
            el('th', { scope: 'col', class: 'n' }, 'to add, g'),
          ),
        ),
        el(
          'tbody',
          {},
          targets.map(({ part, inCupG: has, addG }) =>
            el(
              'tr',
              {},
              el('td', {}, plainText(part)),
              el('td', { class: 'n' }, grams(has)),
              el('td', { class: 'n' }, addG === 0 ? 'done' : grams(addG)),
            ),
          ),
        ),
        el(
          'tfoot',
          {},
          el(
            'tr',
            {},
            el('td', {}, 'all'),
            el('td', { class: 'n' }, grams(inCupG)),
            el('td', { class: 'n' }, `of ${grams(totalG)}`),
          ),
        ),
      ),
      button(
        'Take the last one back',
        () => {
          readings = readings.slice(0, -1);
          draw();
        },
        { disabled: readings.length === 0 },
      ),
    );
  }
}

/** Readings of a scale that ran on, as single masses, or the other way. */
function converted(readings: readonly Reading[], wasRunning: boolean): Reading[] {
  let sum = 0;
  return readings.map(({ part, shownG }, i) => {
    sum += shownG;
    const shown = wasRunning ? shownG - (readings[i - 1]?.shownG ?? 0) : sum;
    return { part, shownG: Number(shown.toFixed(3)) };
  });
}
