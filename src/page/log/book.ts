import { type Log, type NewEntry, readLog } from '../../fill/log/entry.js';
import type { App } from '../state.js';

/** As on the command line, in the job's folder. */
export const logName = 'plateful-log.jsonl';
const keptAs = 'plateful.log';

/** The log as its file holds it: lines that are only ever added to. */
export function logOf(app: App): Log {
  return readLog(app.now.logText);
}

/** Adds a line. It is kept in the browser as well, until it is saved: a page that is closed must not lose a cup. */
export function addToLog(app: App, content: NewEntry): number {
  const { logText } = app.now;
  const { entries } = readLog(logText);
  const entry = 1 + entries.reduce((most, { entry: number }) => Math.max(most, number), 0);
  // A line that was cut off stays as it is: what is added begins a line of its own.
  const begun = logText === '' || logText.endsWith('\n') ? logText : `${logText}\n`;
  setLog(app, `${begun}${JSON.stringify({ entry, at: new Date().toISOString(), ...content })}\n`);
  return entry;
}

/** @param text lines of a log file */
export function setLog(app: App, text: string): void {
  app.set({ logText: text });
  try {
    if (text === '') localStorage.removeItem(keptAs);
    else localStorage.setItem(keptAs, text);
  } catch {
    // Without storage the log lives until the page is closed; it can still be saved as a file.
  }
}

/** What was logged here before and perhaps never saved. */
export function keptLog(): string {
  try {
    return localStorage.getItem(keptAs) ?? '';
  } catch {
    return '';
  }
}
