import { labels } from '../sheet/labels.js';
import { runSheet } from '../sheet/run-sheet.js';
import type { Paper } from '../sheet/run-sheet-style.js';
import { el } from './dom.js';
import { button, segments } from './fields.js';
import { saveFile, stem } from './files.js';
import type { App } from './state.js';

/** The day, as the sheet shows it. */
function today(): string {
  const now = new Date();
  const two = (value: number) => String(value).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

type Kind = 'run' | 'labels';

/** The run sheet and the labels as they will be printed. */
export function sheetView(app: App): HTMLElement {
  let paper: Paper = 'a4';
  let kind: Kind = 'run';
  const frame = el('iframe', {
    class: 'paper',
    title: 'the sheet as it will be printed',
    sandbox: 'allow-same-origin allow-modals',
  });
  const text = (): string => {
    const { survey, mix, mixForm } = app.now;
    if (survey === null || mix === null) return '';
    return kind === 'run'
      ? runSheet({ surveys: [survey], mix, date: today(), paper })
      : labels({ mix, castDate: today(), way: mixForm.way, paper });
  };
  const draw = () => {
    if (app.now.view === 'sheet') frame.srcdoc = text();
  };
  const box = el(
    'section',
    { class: 'panel sheet-view', 'aria-label': 'run sheet' },
    el(
      'div',
      { class: 'row' },
      segments(
        'sheet',
        [
          ['run', 'run sheet'],
          ['labels', 'labels for the boxes'],
        ],
        kind,
        (value) => {
          kind = value;
          draw();
        },
      ),
      segments(
        'paper',
        [
          ['a4', 'A4'],
          ['letter', 'Letter'],
        ],
        'a4',
        (value) => {
          paper = value;
          draw();
        },
      ),
      button('Print', () => frame.contentWindow?.print(), { class: 'main' }),
      button('Save as a file', () =>
        saveFile(
          `${stem(app.now.survey?.source.file ?? '')}.${kind === 'run' ? 'run' : 'labels'}.html`,
          text(),
          'text/html',
        ),
      ),
    ),
    frame,
  );
  app.watch(['view', 'survey', 'mix'], ({ view }) => {
    box.hidden = view !== 'sheet';
    draw();
  });
  return box;
}
