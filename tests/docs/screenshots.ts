/**
 * Takes the pictures in docs/pictures, on the demo mould: the page at three widths in both themes, and the printed sheets.
 *   npx tsx tests/docs/screenshots.ts [folder]
 */
import { execFileSync } from 'node:child_process';
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join, relative, resolve } from 'node:path';
import type { Page } from 'playwright-core';
import { run } from '../../cli/run.js';
import { shelfTemplate } from '../../src/fill/shelf/shelf-template.js';
import { buildPage, demo, openPage, startBrowser, surveyIn } from '../page/browser.js';

const root = resolve(import.meta.dirname, '../..');
const folder = resolve(process.argv[2] ?? join(root, 'docs/pictures'));
const sizes = { 1440: 900, 768: 960, 390: 844 } as const;
type Width = keyof typeof sizes;
type Theme = 'light' | 'dark';

const button = (page: Page, name: string) => page.getByRole('button', { name, exact: true }).click();
const word = (page: Page, text: string) => page.getByText(text, { exact: true }).first().click();
const everywhere = ([1440, 768, 390] as const).flatMap((width) =>
  (['light', 'dark'] as const).map((theme): [Width, Theme] => [width, theme]),
);

/** What is shown, how one gets there from the one before, and at which widths. */
const scenes: readonly [name: string, go: (page: Page) => Promise<unknown>, at: readonly [Width, Theme][]][] = [
  ['plate', async (page) => button(page, 'cavity 5'), everywhere],
  [
    'section',
    async (page) => page.getByLabel('cut open').check(),
    [
      [1440, 'light'],
      [390, 'dark'],
    ],
  ],
  [
    'margin-lifted',
    async (page) => {
      await page.getByLabel('cut open').uncheck();
      await word(page, 'tear margin');
      await page.getByLabel('lift the pieces out').fill('0.6');
    },
    [[768, 'dark']],
  ],
  [
    'undercut',
    async (page) => {
      await page.getByLabel('lift the pieces out').fill('0');
      await word(page, 'undercut');
    },
    [[768, 'light']],
  ],
  [
    'plan',
    async (page) => word(page, 'as a plan'),
    [
      [1440, 'light'],
      [390, 'dark'],
    ],
  ],
  ['scale', async (page) => button(page, 'Scale'), everywhere],
  [
    'log',
    async (page) => {
      for (const _ of ['A', 'B']) {
        for (const key of '12.6') await button(page, key);
        await button(page, 'Take it');
      }
      await button(page, 'Log this cup');
      await button(page, 'Log');
      await page.getByText('Weigh the pieces of run 1 in').click();
    },
    [
      [768, 'light'],
      [390, 'dark'],
    ],
  ],
  [
    'shelf',
    async (page) => {
      await page.setInputFiles('input[type=file]', {
        name: 'shelf.yaml',
        mimeType: 'application/yaml',
        buffer: Buffer.from(shelfTemplate),
      });
      await page.locator('.entry-card summary').first().click();
    },
    [
      [768, 'dark'],
      [390, 'light'],
    ],
  ],
  [
    'sheet',
    async (page) => button(page, 'Sheet'),
    [
      [1440, 'light'],
      [390, 'dark'],
    ],
  ],
];

rmSync(folder, { recursive: true, force: true });
mkdirSync(folder, { recursive: true });
const [browser, built] = await Promise.all([startBrowser(), buildPage()]);
const { page } = await openPage(browser, built, { viewport: { width: 1440, height: 900 } });

async function shoot(name: string, width: Width, theme: Theme): Promise<void> {
  await page.setViewportSize({ width, height: sizes[width] });
  await page.emulateMedia({ colorScheme: theme });
  await page.evaluate(() => window.scrollTo(0, 0));
  // The picture in space is drawn in the frames after; what was said of the last step goes away.
  await page.waitForTimeout(1500);
  await page.screenshot({ path: join(folder, `${name}-${width}-${theme}.png`) });
}

await shoot('start', 1440, 'light');
await surveyIn(page, demo.obj);
await page.locator('.say:empty').waitFor({ state: 'attached', timeout: 20_000 });
for (const [name, go, at] of scenes) {
  await page.setViewportSize({ width: 1440, height: 900 });
  await go(page);
  for (const [width, theme] of at) await shoot(name, width, theme);
}
await browser.close();

/** Prints a sheet of the demo and keeps its pages as pictures. */
async function printed(name: string, flags: readonly string[]): Promise<void> {
  const pdf = join(built, `${name}.pdf`);
  const argv = ['sheet', relative(root, demo.obj), ...flags, '--date', '2026-11-26', '-o', pdf];
  const shelf = join(built, 'shelf.yaml');
  writeFileSync(shelf, shelfTemplate);
  let said = '';
  const status = await run([...argv, '--shelf', shelf, '--material', 'sea ghost flesh'], {
    out: () => {},
    err: (text) => {
      said += text;
    },
    outIsTerminal: false,
    errIsTerminal: false,
    columns: 80,
    env: process.env,
    cwd: root,
    readInput: async () => '',
  });
  if (status !== 0) throw new Error(said);
  execFileSync('pdftoppm', ['-r', '60', '-gray', '-png', pdf, join(folder, `printed-${name}`)]);
}
await printed('run', ['--fills', '3', '--way', 'encapsulated', '--room', '60', '--temp', '22']);
await printed('labels', ['--labels', '--character', 'SG-04', '--edge', 'isopropanol', '--colour', 'pale']);
