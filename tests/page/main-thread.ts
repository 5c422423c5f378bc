import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Browser, Page } from 'playwright-core';
import { plateMould } from '../../fixtures/make/plate.js';
import { seaGhost } from '../../fixtures/make/sea-ghost.js';
import { toBinaryStl } from '../../fixtures/make/write.js';

interface TraceEvent {
  readonly name: string;
  readonly ph: string;
  readonly pid: number;
  readonly tid: number;
  /** Processor time of the thread, microseconds. */
  readonly tdur?: number;
  readonly args: { readonly name?: string };
}

/** The demo mould, more finely divided; the count comes out within a twentieth. */
export function fineDemo(triangles: number): Uint8Array {
  const plan = seaGhost();
  // The demo has 43,968 triangles, of which those of the land and the block stay as they are.
  const meshMm = plan.meshMm! * Math.sqrt(43_968 / (1.46 * triangles));
  return toBinaryStl(plateMould({ ...plan, meshMm }).mesh);
}

/**
 * Processor time of the page's main thread in each of its tasks while something is done, ms, longest first. Other work
 * on the machine does not lengthen it, as it would the time by the clock.
 */
export async function mainThreadTasks(browser: Browser, page: Page, folder: string, act: () => Promise<void>) {
  const path = join(folder, 'trace.json');
  await browser.startTracing(page, { path, categories: ['toplevel'] });
  await act();
  await browser.stopTracing();
  const { traceEvents } = JSON.parse(await readFile(path, 'utf8')) as { traceEvents: TraceEvent[] };
  const thread = ({ pid, tid }: TraceEvent) => `${pid}/${tid}`;
  const main = new Set(
    traceEvents.filter(({ name, args }) => name === 'thread_name' && args.name === 'CrRendererMain').map(thread),
  );
  return (
    traceEvents
      .filter((event) => event.ph === 'X' && /RunTask$/.test(event.name) && main.has(thread(event)))
      //  A task that had begun before the recording has none.
      .flatMap(({ tdur }) => (tdur === undefined ? [] : [tdur / 1000]))
      .sort((a, b) => b - a)
  );
}
