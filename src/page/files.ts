import { zipSync } from 'fflate';
import { jsonText } from '../sheet/json.js';
import { namesCsv } from '../sheet/names-csv.js';
import { logName } from './log/book.js';
import { formName, formText } from './mix/saved-form.js';
import { shelfText } from './shelf/file.js';
import type { App } from './state.js';

/** Hands a file to the person; the browser asks where, or puts it with the downloads. */
export function saveFile(name: string, content: BlobPart, type: string): void {
  const address = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

/** The file's own name, without folder and ending, as the beginning of the names of what is saved. */
export function stem(file: string): string {
  const base = file.split(/[\\/]/).at(-1) ?? '';
  const kept = base
    .replace(/\.[^.]{1,8}$/, '')
    .replace(/[^\p{L}\p{N} ._-]/gu, '_')
    .slice(0, 80);
  return kept === '' ? 'plate' : kept;
}

interface Saved {
  readonly what: string;
  readonly name: string;
  readonly text: string;
  readonly type: string;
}

function documents({ survey, mix, shelfFile, logText }: App['now']): Saved[] {
  const name = stem(survey?.source.file ?? '');
  const json = 'application/json';
  return [
    ...(survey === null
      ? []
      : [
          { what: 'survey', name: `${name}.survey.json`, text: jsonText(survey), type: json },
          { what: 'names list', name: `${name}.names.csv`, text: namesCsv(survey), type: 'text/csv' },
        ]),
    ...(mix === null ? [] : [{ what: 'mix', name: `${name}.mix.json`, text: jsonText(mix), type: json }]),
    ...(shelfFile === null ? [] : [{ what: 'shelf', name: 'shelf.json', text: shelfText(shelfFile), type: json }]),
    ...(logText === '' ? [] : [{ what: 'log', name: logName, text: logText, type: 'application/jsonl' }]),
  ];
}

/** What can be saved of the present state, by the words of the menu; last the whole job, as a folder in a zip. */
export function savings(app: App): readonly { readonly what: string; readonly save: () => void }[] {
  const all = documents(app.now);
  if (all.length === 0) return [];
  const encoder = new TextEncoder();
  const job = () => {
    const form = { name: formName, text: formText(app.now.mixForm) };
    const entries = [...all, form].map(({ name, text }) => [name, encoder.encode(text)] as const);
    // One fixed day, so that the same job gives the same bytes; a zip knows none before 1980.
    const zip = zipSync(Object.fromEntries(entries), { mtime: new Date(1980, 0, 1) });
    saveFile(`${stem(app.now.survey?.source.file ?? 'job')}.job.zip`, zip.slice().buffer, 'application/zip');
  };
  return [
    ...all.map(({ what, name, text, type }) => ({ what, save: () => saveFile(name, text, `${type};charset=utf-8`) })),
    { what: 'whole job', save: job },
  ];
}
