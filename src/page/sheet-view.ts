import { labels } from '../sheet/labels.js';
import { runSheet } from '../sheet/run-sheet.js';
import type { Paper } from '../sheet/run-sheet-style.js';
import { el } from './dom.js';
import { button, numberField, segments, textField } from './fields.js';
import { saveFile, stem } from './files.js';
import { typedNumber } from './mix/plan.js';
import type { App } from './state.js';

/** The day, as the sheet shows it. */
function today(): string {
  const now = new Date();
  const two = (value: number) => String(value).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

type Kind = 'run' | 'labels';

/** What labels say besides the piece; what is left empty is a line to write on. */
const labelTexts = [
  ['character', "character's code", 'never a name'],
  ['lots', 'lots', ''],
  ['colour', 'colour', ''],
  ['edgeDissolvesIn', 'edge dissolves in', ''],
] as const;
type LabelText = (typeof labelTexts)[number][0];

/** The run sheet and the labels as they will be printed. */
export function sheetView(app: App): HTMLElement {
  let paper: Paper = 'a4';
  let kind: Kind = 'run';
  const written: Partial<Record<LabelText, string>> = {};
  let copies = 1;
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
      : labels({ mix, castDate: today(), way: mixForm.way, paper, ...written, copies });
  };
  const draw = () => {
    if (app.now.view === 'sheet') frame.srcdoc = text();
  };
  const labelBox = el(
    'div',
    { class: 'row label-fields', hidden: true },
    labelTexts.map(([key, label, hint]) =>
      textField(label, hint, (text) => {
        const trimmed = text.trim();
        if (trimmed === '') delete written[key];
        else written[key] = trimmed;
        draw();
      }),
    ),
    numberField('of each piece', '', '1', (text) => {
      const value = typedNumber(text);
      if (value === undefined || !Number.isInteger(value) || value < 1 || value > 100) return;
      copies = value;
      draw();
    }),
  );
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
          labelBox.hidden = kind !== 'labels';
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
    labelBox,
    frame,
  );
  app.watch(['view', 'survey', 'mix'], ({ view }) => {
    box.hidden = view !== 'sheet';
    draw();
  });
  return box;
}
