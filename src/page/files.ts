import { zipSync } from 'fflate';
import { Fault } from '../base/fault.js';
import { looksLikeSurvey, readSurvey } from '../fill/read-survey.js';
import { jsonText } from '../sheet/json.js';
import { logName, setLog } from './log/book.js';
import { shownFault } from './mix/plan.js';
import { namesCsv } from './names.js';
import { openShelf, shelfText } from './shelf/file.js';
import type { App, ShownFault } from './state.js';
import type { SurveyClient } from './survey-client.js';

/** A document is a few megabytes at most; what is larger is a mesh, or nothing of ours. */
const largestDocument = 64 << 20;

function looksLikeLog(head: string): boolean {
  return /^\s*\{"entry":\s*\d/.test(head);
}

/** A fault of the content as it is; anything else is the browser's own: the file is gone, or may not be read. */
function openingFault(error: unknown): ShownFault {
  if (error instanceof Fault) return shownFault(error);
  return {
    code: 'file-unreadable',
    message: `The browser cannot read this file (${error instanceof Error ? error.message : String(error)}).`,
    remedy: 'Check that it is still there, and choose it again.',
  };
}

/** Opens what was dropped or chosen: which kind of file it is shows in its content. */
export async function openFiles(files: readonly File[], app: App, client: SurveyClient): Promise<void> {
  for (const file of files) {
    try {
      const head = await file.slice(0, 4096).text();
      if (file.size <= largestDocument && looksLikeSurvey(head) && head.includes('"plateful.survey"')) {
        const survey = readSurvey(await file.text());
        const same = app.now.survey?.source.sha256 === survey.source.sha256;
        app.set({
          survey,
          shapes: same ? app.now.shapes : null,
          fault: null,
          picked: null,
          view: 'plate',
          say: `Opened ${file.name}.`,
        });
      } else if (looksLikeLog(head)) {
        setLog(app, await file.text());
        app.set({ view: 'log', fault: null, say: `Opened the log ${file.name}.` });
      } else if (/\.(ya?ml|json)$/i.test(file.name)) {
        const shelfFile = openShelf(await file.text());
        const { shelvesOpened } = app.now;
        app.set({
          shelfFile,
          shelvesOpened: shelvesOpened + 1,
          view: 'shelf',
          fault: null,
          say: `Opened the shelf ${file.name}.`,
        });
      } else {
        client.start(file, null);
      }
    } catch (error) {
      app.set({ fault: { ...openingFault(error), file: file.name } });
    }
  }
}

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
    const entries = all.map(({ name, text }) => [name, encoder.encode(text)] as const);
    // One fixed day, so that the same job gives the same bytes; a zip knows none before 1980.
    const zip = zipSync(Object.fromEntries(entries), { mtime: new Date(1980, 0, 1) });
    saveFile(`${stem(app.now.survey?.source.file ?? 'job')}.job.zip`, zip.slice().buffer, 'application/zip');
  };
  return [
    ...all.map(({ what, name, text, type }) => ({ what, save: () => saveFile(name, text, `${type};charset=utf-8`) })),
    { what: 'whole job', save: job },
  ];
}
