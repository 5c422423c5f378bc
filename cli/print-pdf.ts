import { spawn } from 'node:child_process';
import { constants } from 'node:fs';
import { access, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { Fault } from '../src/base/fault.js';
import type { Io } from './io.js';

/** Names that a Chromium is installed under. */
const names = ['chromium', 'chromium-browser', 'chrome', 'chrome.exe'];
const elsewhere = ['/Applications/Chromium.app/Contents/MacOS/Chromium'];
const timeoutMs = 120_000;

/** The first Chromium on the path; PLATEFUL_CHROMIUM names another. */
async function findChromium(io: Io): Promise<string> {
  const own = io.env.PLATEFUL_CHROMIUM;
  const folders = (io.env.PATH ?? '').split(delimiter).filter((folder) => folder !== '');
  const places = own ? [own] : [...folders.flatMap((folder) => names.map((name) => join(folder, name))), ...elsewhere];
  for (const place of places) {
    const found = await access(place, constants.X_OK).then(
      () => true,
      () => false,
    );
    if (found) return place;
  }
  throw new Fault({
    code: 'chromium-missing',
    kind: 'usage',
    message: own ? `PLATEFUL_CHROMIUM names no program: ${own}.` : 'A PDF is printed by Chromium, and none was found.',
    remedy: 'Install one, or write .html and print it from any browser.',
  });
}

/** Runs a program to its end; what it says is kept for the fault. */
function runOnce(command: string, args: readonly string[], signal: AbortSignal | undefined): Promise<string> {
  return new Promise((resolve, reject) => {
    const child = spawn(command, args, { stdio: ['ignore', 'ignore', 'pipe'], timeout: timeoutMs, signal });
    let said = '';
    child.stderr.on('data', (chunk) => {
      said = `${said}${chunk}`.slice(-2000);
    });
    child.on('error', reject);
    child.on('close', () => resolve(said));
  });
}

/**
 * Prints an HTML page to PDF, with the size of paper that it names itself.
 * @throws Fault `chromium-missing`, `pdf-not-printed`
 */
export async function printPdf(html: string, io: Io): Promise<Uint8Array> {
  const chromium = await findChromium(io);
  const folder = await mkdtemp(join(tmpdir(), 'plateful-print-'));
  try {
    const [page, pdf] = [join(folder, 'sheet.html'), join(folder, 'sheet.pdf')];
    await writeFile(page, html);
    const args = [
      '--headless',
      '--disable-gpu',
      '--disable-quic',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      '--no-first-run',
      '--no-pdf-header-footer',
      // Chromium's sandbox does not start for root, as in a container; the page is our own and holds no script.
      ...(process.getuid?.() === 0 ? ['--no-sandbox'] : []),
      `--user-data-dir=${join(folder, 'profile')}`,
      `--print-to-pdf=${pdf}`,
      pathToFileURL(page).href,
    ];
    const said = await runOnce(chromium, args, io.signal);
    return await readFile(pdf).catch(() => {
      throw new Fault({
        code: 'pdf-not-printed',
        message: `Chromium printed nothing${said === '' ? '' : ` (${said.trim().split('\n').at(-1)})`}.`,
        remedy: 'Write .html and print it from any browser.',
      });
    });
  } finally {
    await rm(folder, { recursive: true, force: true, maxRetries: 3 });
  }
}
