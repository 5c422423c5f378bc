import { plainText } from '../base/plain-text.js';
import { type LengthUnit, mmPerUnit } from '../base/units.js';
import { el, fill, nameText } from './dom.js';
import { button } from './fields.js';
import type { App } from './state.js';
import type { SurveyClient } from './survey-client.js';

const unitNames: Record<LengthUnit, string> = {
  mm: 'millimetres',
  cm: 'centimetres',
  m: 'metres',
  in: 'inches',
  ft: 'feet',
  um: 'micrometres',
};

/** How a file or a folder is asked for. */
export interface Choose {
  readonly file: () => void;
  readonly folder: () => void;
}

/** What is shown before any file is open. */
export function startView(app: App, choose: Choose): HTMLElement {
  const box = el(
    'section',
    { class: 'start' },
    el('h2', {}, 'Drop a mould here'),
    el(
      'p',
      {},
      'The mesh of a flat-plate mould, a scan of its face, or the sculpt it is made from: STL, OBJ, PLY or 3MF. Or a survey that you saved, or the folder of a job.',
    ),
    el(
      'div',
      { class: 'row' },
      button('Choose a file', choose.file, { class: 'main' }),
      button('Choose a job folder', choose.folder),
    ),
    el('p', { class: 'soft' }, 'Everything is measured on this machine. No file leaves it.'),
  );
  app.watch(['survey', 'task', 'view'], ({ survey, task, view }) => {
    box.hidden = survey !== null || task !== null || view !== 'plate';
  });
  return box;
}

/** Progress of the survey that runs, with a way to stop it. */
export function taskBox(app: App, client: SurveyClient): HTMLElement {
  const stage = el('p', { class: 'stage-name', 'aria-live': 'polite' });
  const bar = el('progress', { max: 1, 'aria-label': 'progress of this stage' });
  const name = el('p', { class: 'what' });
  const box = el(
    'section',
    { class: 'task panel', 'aria-label': 'survey in progress' },
    name,
    stage,
    bar,
    button('Cancel', () => client.cancel(), { class: 'main' }),
  );
  app.watch(['task'], ({ task }) => {
    box.hidden = task === null;
    if (task === null) return;
    if (name.textContent !== plainText(task.name)) fill(name, nameText(task.name));
    if (stage.textContent !== task.stage) stage.textContent = task.stage;
    if (task.done > 0) bar.value = task.done;
    else bar.removeAttribute('value');
  });
  return box;
}

/** The size that the fault names for each unit: it stands on the unit's own button as well. */
function sizesOf(message: string): Partial<Record<string, string>> {
  const found = message.matchAll(/\b(mm|cm|m|in|ft|um): ([\d.]+(?: x [\d.]+)+ mm)/g);
  return Object.fromEntries([...found].map(([, unit, size]) => [unit, `: ${size}`]));
}

/** What was wrong with the file, in the words of the command line; the question of the unit where that is all it needs. */
export function faultBox(app: App, client: SurveyClient): HTMLElement {
  const box = el('section', { class: 'fault panel', role: 'alert' });
  app.watch(['fault'], ({ fault, file }) => {
    box.hidden = fault === null;
    if (fault === null) return fill(box);
    const asksUnit = fault.code.startsWith('unit-') && file !== null;
    const sizes = sizesOf(fault.message);
    const place = fault.where === undefined ? '' : `, ${plainText(fault.where)}`;
    fill(
      box,
      el('h2', {}, asksUnit ? 'Which unit is this file in?' : 'This cannot be used'),
      fault.file !== undefined && el('p', { class: 'what' }, nameText(fault.file), place),
      el('p', {}, plainText(fault.message)),
      fault.remedy !== undefined && !asksUnit && el('p', {}, plainText(fault.remedy)),
      asksUnit && el('p', {}, 'Lay a ruler on the plate, and choose the unit whose size it shows.'),
      el('code', {}, fault.code),
      el(
        'div',
        { class: 'row' },
        asksUnit &&
          (Object.keys(mmPerUnit) as LengthUnit[]).map((unit) =>
            button(`${unitNames[unit]}${sizes[unit] ?? ''}`, () => void client.start(file, unit)),
          ),
        button('Close', () => app.set({ fault: null })),
      ),
    );
  });
  return box;
}
