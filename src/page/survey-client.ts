import type { SurveyDocument } from '../base/survey-document.js';
import type { LengthUnit } from '../base/units.js';
import type { EdgeSettings } from '../measure/edge-settings.js';
import type { App } from './state.js';
import type { SurveyAnswer } from './worker-messages.js';

/** The worker's script: beside the page, or, in the page of one file, inside it. */
function startWorker(): Worker {
  const inside = document.getElementById('survey-worker');
  if (inside === null) return new Worker('survey-worker.js', { name: 'survey' });
  const script = new Blob([JSON.parse(inside.textContent ?? '""') as string], { type: 'text/javascript' });
  const address = URL.createObjectURL(script);
  const worker = new Worker(address, { name: 'survey' });
  // The worker has taken the script once it answers; the address is then of no use.
  worker.addEventListener('message', () => URL.revokeObjectURL(address), { once: true });
  return worker;
}

/** Progress is shown this often at most: a screen reader and a slow machine both need rest. */
const betweenMs = 80;

/** The same file as before keeps the names it had: its survey was opened first, or names were typed in. */
function withNamesOf(before: SurveyDocument | null, survey: SurveyDocument): SurveyDocument {
  const isSame =
    before?.source.sha256 === survey.source.sha256 &&
    before.source.unit === survey.source.unit &&
    before.cavities.length === survey.cavities.length;
  if (!isSame) return survey;
  return { ...survey, cavities: survey.cavities.map((cavity, i) => ({ ...cavity, name: before.cavities[i]!.name })) };
}

/** Runs one survey at a time. Each gets a worker of its own, so that its memory is given back with it. */
export class SurveyClient {
  private worker: Worker | null = null;
  private ended: () => void = () => {};

  constructor(private readonly app: App) {}

  /**
   * @param edges what the edges are judged by
   * @returns settled when the survey is done, has failed or was cancelled; its outcome stands in the state
   */
  start(file: File, unit: LengthUnit | null, edges: EdgeSettings = {}): Promise<void> {
    this.end();
    const over = new Promise<void>((resolve) => {
      this.ended = resolve;
    });
    this.app.set({ task: { name: file.name, stage: 'reading', done: 0 }, fault: null, file, unit, say: '' });
    const worker = startWorker();
    this.worker = worker;
    let shown = 0;
    worker.onmessage = ({ data }: MessageEvent<SurveyAnswer>) => {
      if (worker !== this.worker) return;
      if (data.kind === 'progress') {
        const now = performance.now();
        if (now - shown < betweenMs && data.stage === this.app.now.task?.stage) return;
        shown = now;
        this.app.set({ task: { name: file.name, stage: data.stage, done: data.done } });
        return;
      }
      this.end();
      if (data.kind === 'fault') this.app.set({ task: null, fault: data.fault });
      else {
        const { document, shapes } = data;
        const survey = withNamesOf(this.app.now.survey, document);
        const count = document.cavities.length;
        const say = `Surveyed ${file.name}: ${count} ${count === 1 ? 'cavity' : 'cavities'}.`;
        this.app.set({
          task: null,
          survey,
          shapes,
          mesh: { file, unit },
          edges,
          picked: null,
          view: 'plate',
          lift: 0,
          say,
        });
      }
    };
    worker.onerror = (event) => {
      event.preventDefault();
      if (worker !== this.worker) return;
      this.end();
      const fault = {
        code: 'page-worker',
        message: 'The survey stopped: the browser ended it, most likely for want of memory.',
        remedy: 'Close other pages and try again, or survey the file on the command line.',
        file: file.name,
      };
      this.app.set({ task: null, fault });
    };
    worker.postMessage({ file, unit, edges });
    return over;
  }

  /** Stops at once, whatever the worker is doing. */
  cancel(): void {
    if (this.worker === null) return;
    this.end();
    this.app.set({ task: null, say: 'Cancelled. Nothing was changed.' });
  }

  private end(): void {
    this.worker?.terminate();
    this.worker = null;
    this.ended();
  }
}
