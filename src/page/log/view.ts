import { plainText } from '../../base/plain-text.js';
import { checkLog, meaning } from '../../fill/log/check.js';
import { type Cast, type Grade, grades, type Reason, type Run, reasons, runsOf } from '../../fill/log/entry.js';
import { learnLosses } from '../../fill/log/learn.js';
import { fixed } from '../../sheet/figures.js';
import { grams } from '../../sheet/grams.js';
import { el, fill, newId } from '../dom.js';
import { button, numberField } from '../fields.js';
import { saveFile } from '../files.js';
import { typedNumber } from '../mix/plan.js';
import type { App } from '../state.js';
import { addToLog, logName, logOf, setLog } from './book.js';

interface Draft {
  mass: string;
  grade: Grade;
  reason: Reason;
}

/** Pieces of a run that can still be weighed in: those of the present plan, unless it has its own already. */
function expected(run: Run, app: App): Omit<Cast, 'massG' | 'grade'>[] {
  const { mix } = app.now;
  if (run.casts.length > 0) return run.casts.map(({ massG: _, grade: __, reason: ___, ...cast }) => cast);
  return (mix?.perCavity ?? []).map((entry) => ({
    plate: mix!.plates[entry.plate]?.file ?? null,
    number: entry.number,
    name: entry.name,
    predictedG: entry.massG,
    rangeG: entry.massRangeG,
  }));
}

/** The form in which the cured pieces of a run are weighed in. It adds a line that corrects the run; nothing is edited. */
function castForm(entry: number, run: Run, app: App): HTMLElement {
  const pieces = expected(run, app);
  const drafts: Draft[] = pieces.map((_, i) => {
    const cast = run.casts[i];
    return {
      mass: cast === undefined ? '' : String(cast.massG),
      grade: cast?.grade ?? 'hero',
      reason: cast?.reason ?? 'air',
    };
  });
  let left = run.leftG > 0 ? String(run.leftG) : '';
  const fault = el('p', { class: 'warn', role: 'alert' });
  const choose = <T extends string>(label: string, values: readonly T[], value: T, on: (value: T) => void) => {
    const id = newId('cast');
    return el(
      'div',
      { class: 'field' },
      el('label', { for: id }, label),
      el(
        'select',
        { id, onchange: (event: Event) => on((event.target as HTMLSelectElement).value as T) },
        values.map((word) => el('option', { value: word, selected: word === value }, word)),
      ),
    );
  };
  const save = () => {
    const casts: Cast[] = [];
    for (const [i, { mass, grade, reason }] of drafts.entries()) {
      const massG = typedNumber(mass);
      if (massG === undefined) continue;
      if (!(massG >= 0 && massG < 1e6)) {
        fault.textContent = `The mass of ${plainText(pieces[i]!.name)} is no number of grams.`;
        return;
      }
      casts.push({ ...pieces[i]!, massG, grade, ...(grade === 'reject' && { reason }) });
    }
    addToLog(app, { kind: 'correction', of: entry, run: { ...run, casts, leftG: typedNumber(left) ?? 0 } });
  };
  return el(
    'details',
    {},
    el('summary', {}, `Weigh the pieces of run ${entry} in`),
    el(
      'div',
      { class: 'casts' },
      pieces.map((piece, i) => {
        const draft = drafts[i]!;
        const why = choose('reason', reasons, draft.reason, (reason) => {
          draft.reason = reason;
        });
        why.hidden = draft.grade !== 'reject';
        return el(
          'div',
          { class: 'row' },
          el(
            'p',
            { class: 'piece' },
            `${piece.number ?? ''} ${plainText(piece.name)}`,
            el('small', {}, ` ${grams(piece.predictedG)} g foretold`),
          ),
          numberField('mass', 'g', draft.mass, (text) => {
            draft.mass = text;
          }),
          choose('grade', grades, draft.grade, (grade) => {
            draft.grade = grade;
            why.hidden = grade !== 'reject';
          }),
          why,
        );
      }),
    ),
    el(
      'div',
      { class: 'row' },
      numberField('mix left over', 'g', left, (text) => {
        left = text;
      }),
      button('Log the pieces', save, { class: 'main' }),
    ),
    fault,
  );
}

function runTable(app: App): HTMLElement {
  const runs = runsOf(logOf(app));
  return el(
    'div',
    { class: 'runs' },
    runs.map(({ entry, at, run }) =>
      el(
        'article',
        { class: 'run' },
        el('h3', {}, `Run ${entry}, ${at.slice(0, 16).replace('T', ' ')}`),
        el(
          'p',
          {},
          `${plainText(run.material)}: ${run.weighed.map(({ part, massG }) => `${plainText(part)} ${grams(massG)} g`).join(', ')}; ${run.casts.length} of ${run.pieces} pieces weighed`,
        ),
        castForm(entry, run, app),
        button('Withdraw this run', () => addToLog(app, { kind: 'correction', of: entry, run: null })),
      ),
    ),
  );
}

function checks(app: App): HTMLElement | null {
  const checked = checkLog(logOf(app));
  if (checked.length === 0) return null;
  return el(
    'div',
    { class: 'scroll' },
    el(
      'table',
      {},
      el(
        'thead',
        {},
        el(
          'tr',
          {},
          ['run', 'piece', 'mass g', 'foretold g', 'off %', 'grade', 'says'].map((head, i) =>
            el('th', { scope: 'col', class: i > 1 && i < 5 ? 'n' : '' }, head),
          ),
        ),
      ),
      el(
        'tbody',
        {},
        checked.map(({ entry, cast, differencePct, verdict }) =>
          el(
            'tr',
            {},
            el('td', {}, entry),
            el('td', {}, plainText(cast.name).slice(0, 60)),
            el('td', { class: 'n' }, grams(cast.massG)),
            el('td', { class: 'n' }, grams(cast.predictedG)),
            el('td', { class: 'n' }, fixed(differencePct, 1)),
            el('td', {}, cast.reason === undefined ? cast.grade : `${cast.grade}: ${cast.reason}`),
            el('td', {}, meaning[verdict] === '' ? verdict : `${verdict}: ${meaning[verdict]}`),
          ),
        ),
      ),
    ),
  );
}

function lessons(app: App): HTMLElement[] {
  const learned = learnLosses(logOf(app));
  return [
    ...learned.lessons.map(({ way, runs, cupLossG, beyond, beyondUnit }) =>
      el(
        'p',
        {},
        `${way}, from ${runs} runs: ${fixed(cupLossG.value, 1)} g stay in the cup (${fixed(cupLossG.low, 1)} to ${fixed(cupLossG.high, 1)}); ${beyondUnit === 'mm' ? 'film on the land' : 'massage, glove and spatula'} ${fixed(beyond.value, 2)} ${beyondUnit} (${fixed(beyond.low, 2)} to ${fixed(beyond.high, 2)}). The mix uses these.`,
      ),
    ),
    ...learned.notYet.map(({ way, runs, why }) =>
      el('p', { class: 'soft' }, `${way}, ${runs} runs: nothing to learn yet, ${why}.`),
    ),
  ];
}

/** The log: what was weighed, how the pieces came out, and what that teaches. */
export function logView(app: App): HTMLElement {
  const body = el('div', {});
  const section = el(
    'section',
    { class: 'panel log', 'aria-labelledby': 'log-title' },
    el('h2', { id: 'log-title' }, 'Log'),
    body,
  );
  app.watch(['view', 'logText'], ({ view, logText }) => {
    section.hidden = view !== 'log';
    if (view !== 'log') return;
    const { damaged } = logOf(app);
    fill(
      body,
      logText === '' &&
        el(
          'p',
          { class: 'soft' },
          'Nothing is logged yet. Each cup that is finished under Scale becomes a line here; or open the log of a job.',
        ),
      damaged.map(({ line }) =>
        el('p', { class: 'warn' }, `Line ${line} of the log cannot be read; the others count.`),
      ),
      runTable(app),
      checks(app),
      lessons(app),
      logText !== '' &&
        el(
          'div',
          { class: 'row' },
          button('Save the log', () => saveFile(logName, app.now.logText, 'application/jsonl'), { class: 'main' }),
          button('Begin a new log', () => setLog(app, '')),
        ),
    );
  });
  return section;
}
