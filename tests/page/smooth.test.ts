import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { buildPage, openPage, startBrowser, surveyIn, withBrowser } from './browser.js';
import { fineDemo, mainThreadTasks } from './main-thread.js';

// At a million triangles: npx tsx tests/bench/page.ts; its figures stand in docs/decisions/page-stays-quick.md.
const triangles = Number(process.env.TRIANGLES ?? 150_000);

withBrowser('a large mould on the page', () => {
  let browser: Browser;
  let folder: string;
  let file: string;
  beforeAll(async () => {
    [browser, folder] = await Promise.all([startBrowser(), buildPage()]);
    file = join(folder, 'fine.stl');
    await writeFile(file, fineDemo(triangles));
  });
  afterAll(() => browser?.close());

  it('keeps the main thread free: no task takes 100 ms of it, from the file to the picture, the section and a hover', async () => {
    const { page } = await openPage(browser, folder, { viewport: { width: 1440, height: 1000 } });
    const tasks = await mainThreadTasks(browser, page, folder, async () => {
      await surveyIn(page, file);
      await page.locator('.mark.number').first().waitFor();
      await page.locator('.stage canvas').hover();
      await page.getByLabel('cut open').check();
      await page.getByLabel('place of the section, mm').fill('70');
      await page.getByRole('button', { name: 'cavity 3', exact: true }).click();
      await page.getByText('as a plan').click();
      await page.getByRole('button', { name: 'Sheet', exact: true }).click();
    });
    expect(tasks.length).toBeGreaterThan(50);
    expect(tasks[0]).toBeLessThan(100);
  });

  it('answers a cancel before the click has returned, at every stage', async () => {
    const { page } = await openPage(browser, folder);
    for (const stage of ['reading', 'cavities']) {
      await page.setInputFiles('input[type=file]', file);
      await page.waitForFunction(
        (name) => {
          const box = document.querySelector('.task:not([hidden]) .stage-name');
          return box?.textContent?.includes(name) ?? false;
        },
        stage,
        { polling: 10, timeout: 60_000 },
      );
      const hidden = await page.evaluate(() => {
        document.querySelector<HTMLButtonElement>('.task button')!.click();
        return document.querySelector<HTMLElement>('.task')!.hidden;
      });
      expect(hidden).toBe(true);
      await expect.poll(() => page.workers()).toHaveLength(0);
    }
  });
});
