import { execFile } from 'node:child_process';
import { existsSync } from 'node:fs';
import { mkdtemp } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { promisify } from 'node:util';
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core';
import { describe } from 'vitest';

const root = join(import.meta.dirname, '../..');
export const demo = { stl: join(root, 'fixtures/demo/sea-ghost.stl'), obj: join(root, 'fixtures/demo/sea-ghost.obj') };

const places = [process.env.PLATEFUL_CHROMIUM, '/usr/bin/chromium', '/usr/bin/chromium-browser'];
const executablePath = places.find((place) => place !== undefined && existsSync(place));

/**
 * Tests that need a browser. Without one they are skipped, unless PLATEFUL_REQUIRE_BROWSER=1: then they fail, so that a
 * machine that is meant to run them cannot pass by lacking one.
 */
export const withBrowser = describe.skipIf(
  executablePath === undefined && process.env.PLATEFUL_REQUIRE_BROWSER !== '1',
);

const quiet = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

export async function startBrowser(): Promise<Browser> {
  if (executablePath === undefined) throw new Error('no Chromium was found; set PLATEFUL_CHROMIUM to one');
  return chromium.launch({ executablePath, args: quiet });
}

/** Builds the page from the present sources into a folder of its own. */
export async function buildPage(): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), 'plateful-built-'));
  await promisify(execFile)(process.execPath, [join(root, 'src/page/build.mjs'), folder]);
  return folder;
}

export interface Opened {
  readonly page: Page;
  /** Addresses of everything that the page asked for. */
  readonly requests: string[];
  /** Errors and refusals that the page's console holds. */
  readonly complaints: string[];
}

/** A new window with the page of one file, from disk. */
export async function openPage(browser: Browser, folder: string, options: BrowserContextOptions = {}): Promise<Opened> {
  const context = await browser.newContext({ acceptDownloads: true, ...options });
  const page = await context.newPage();
  // Listened for from the first: only then is a chooser surely caught that opens at once.
  page.on('filechooser', () => {});
  const requests: string[] = [];
  const complaints: string[] = [];
  page.on('request', (request) => requests.push(request.url()));
  page.on('pageerror', (error) => complaints.push(String(error)));
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(message.text());
  });
  await page.goto(pathToFileURL(join(folder, 'plateful.html')).href);
  return { page, requests, complaints };
}

/** Opens a file in the page and waits until its survey stands in the table. */
export async function surveyIn(page: Page, file: string, timeout = 60_000): Promise<void> {
  await page.setInputFiles('input[type=file]', file);
  await page.locator('.cavities tbody tr').first().waitFor({ timeout });
}
