import { Fault } from '../base/fault.js';
import type { SurveyDocument } from '../base/survey-document.js';
import { nameCavities } from '../cavity/name-cavities.js';
import { readPlan } from '../fill/plan/plan-file.js';
import { looksLikeSurvey, readSurvey } from '../fill/read-survey.js';
import { readNames } from '../reading/name-list.js';
import { isZip, unpackJob } from './job-folder.js';
import { setLog } from './log/book.js';
import { shownFault } from './mix/plan.js';
import { formFromPlan, readForm } from './mix/saved-form.js';
import { openShelf } from './shelf/file.js';
import type { App, AppState, ShownFault } from './state.js';
import type { SurveyClient } from './survey-client.js';

/** A document is a few megabytes at most; what is larger is a mesh, or nothing of ours. */
const largestDocument = 64 << 20;

/** In the order in which the files of a job are opened: what comes later stands on what came before. */
const kinds = ['shelf', 'survey', 'mesh', 'names', 'plan', 'form', 'log', 'derived'] as const;
type Kind = (typeof kinds)[number];

/** Which kind of file it is shows in its content; the ending decides only where the content may be anything. */
function kindOf(name: string, head: string, size: number): Kind {
  if (size <= largestDocument) {
    if (looksLikeSurvey(head) && head.includes('"plateful.survey"')) return 'survey';
    if (head.includes('"plateful.mix-form"')) return 'form';
    if (/"plateful\.(mix|plan)"/.test(head)) return 'derived';
    if (/^\s*\{"entry":\s*\d/.test(head)) return 'log';
    if (/\.ya?ml$/i.test(name) && /^(plates|wants):/m.test(head)) return 'plan';
    if (/\.(ya?ml|json)$/i.test(name)) return 'shelf';
    if (/\.csv$/i.test(name)) return 'names';
  }
  return 'mesh';
}

/** A fault of the content as it is; anything else is the browser's own: the file is gone, or may not be read. */
export function openingFault(error: unknown): ShownFault {
  if (error instanceof Fault) return shownFault(error);
  return {
    code: 'file-unreadable',
    message: `The browser cannot read this file (${error instanceof Error ? error.message : String(error)}).`,
    remedy: 'Check that it is still there, and choose it again.',
  };
}

/** A survey with the names of a list, as the command line gives them. @throws Fault `names-…` */
export function namedBy(text: string, survey: SurveyDocument): SurveyDocument {
  const { form, lengthMm, widthMm } = survey.plate;
  const plate =
    form === 'pieces' || lengthMm === null || widthMm === null
      ? null
      : { lengthMm, widthMm, sha256: survey.source.sha256 };
  const { names, findings } = nameCavities(readNames(text), survey.cavities, plate);
  const cavities = survey.cavities.map((cavity, i) => ({ ...cavity, name: names[i] ?? cavity.name }));
  return { ...survey, cavities, findings: [...survey.findings, ...findings] };
}

/** What a document changes on the page. @throws Fault of its reader */
function taken(kind: Exclude<Kind, 'mesh' | 'log'>, text: string, { now }: App): Partial<AppState> {
  const { survey } = now;
  switch (kind) {
    case 'survey': {
      const opened = readSurvey(text);
      const same = survey?.source.sha256 === opened.source.sha256;
      // What it was judged by is not in it; its findings say what was assumed.
      const { shapes, mesh } = same ? now : { shapes: null, mesh: null };
      return { survey: opened, shapes, mesh, edges: {}, picked: null, view: 'plate' };
    }
    case 'shelf':
      return { shelfFile: openShelf(text), shelvesOpened: now.shelvesOpened + 1, view: 'shelf' };
    case 'form':
      return { mixForm: readForm(text), formsOpened: now.formsOpened + 1 };
    case 'plan':
      return { mixForm: formFromPlan(readPlan(text), now.mixForm), formsOpened: now.formsOpened + 1 };
    case 'names':
      if (survey !== null) return { survey: namedBy(text, survey) };
      throw new Fault({
        code: 'names-without-plate',
        message: 'There is no plate yet that these names could be given to.',
        remedy: 'Open the mould or its survey first, then the list.',
      });
    case 'derived':
      throw new Fault({
        code: 'mix-is-made',
        message: 'This is a finished plan; the page makes it anew from the survey and the form.',
        remedy: 'Open the survey it was made from.',
      });
  }
}

interface Sorted {
  readonly file: File;
  readonly kind: Kind;
}

/** The files with those of every zip in its place, in the order in which they are to be opened. */
async function sorted(files: readonly File[]): Promise<Sorted[]> {
  const all: Sorted[] = [];
  for (const file of files) {
    const head = new Uint8Array(await file.slice(0, 4096).arrayBuffer());
    const inside = isZip(head) && !/\.3mf$/i.test(file.name) ? unpackJob(await bytesOf(file)) : null;
    if (inside !== null) all.push(...(await sorted(inside)));
    else all.push({ file, kind: kindOf(file.name, new TextDecoder().decode(head), file.size) });
  }
  return all.sort((a, b) => kinds.indexOf(a.kind) - kinds.indexOf(b.kind));
}

async function bytesOf(file: File): Promise<Uint8Array<ArrayBuffer>> {
  return new Uint8Array(await file.arrayBuffer());
}

/** Opens what was dropped or chosen: files, a job saved as a zip, or all the files of a job's folder. */
export async function openFiles(files: readonly File[], app: App, client: SurveyClient): Promise<void> {
  app.set({ fault: null });
  let all: Sorted[];
  try {
    all = await sorted(files);
  } catch (error) {
    app.set({ fault: { ...openingFault(error), file: files[0]?.name } });
    return;
  }
  const isJob = all.length > 1;
  // A job is opened at its plate, whatever else is in it; what was made from the rest is made anew.
  const wanted = isJob ? all.filter(({ kind }) => kind !== 'derived') : all;
  const meshes = wanted.filter(({ kind }) => kind === 'mesh');
  for (const { file, kind } of wanted) {
    // A mesh that could not be taken, or asks for its unit, has the word; its list of names cannot be given yet.
    if (isJob && kind === 'names' && app.now.survey === null) continue;
    try {
      if (kind === 'mesh') {
        // The names of a list, later in the row, are for the plate that this survey finds.
        if (file === meshes[0]?.file) await client.start(file, null);
      } else if (kind === 'log') {
        setLog(app, await file.text());
        app.set({ view: 'log', say: `Opened the log ${file.name}.` });
      } else {
        app.set({ ...taken(kind, await file.text(), app), say: `Opened ${file.name}.` });
      }
    } catch (error) {
      app.set({ fault: { ...openingFault(error), file: file.name } });
    }
  }
  if (!isJob) return;
  const also = meshes.length > 1 ? ` Of ${meshes.length} meshes the first was taken; open the others one by one.` : '';
  app.set({ view: 'plate', say: `Opened ${wanted.length} files of a job.${also}` });
}
