import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { plateful } from '../cli/harness.js';
import { samplePlate } from '../sheet/sample-plate.js';
import { buildPage, openPage, startBrowser, withBrowser } from './browser.js';

const survey = { ...samplePlate(), findings: [] };

/** Cells of a text table's row that begins with a number: blanks part them. */
const cellsOf = (text: string, number: number): string[] =>
  (text.split('\n').find((line) => new RegExp(`^\\s*${number}\\s`).test(line)) ?? '').trim().split(/\s+/);

withBrowser('the same figures everywhere', () => {
  let browser: Browser;
  let folder: string;
  beforeAll(async () => {
    [browser, folder] = await Promise.all([startBrowser(), buildPage()]);
    await writeFile(join(folder, 'plate.json'), JSON.stringify(survey));
  });
  afterAll(() => browser?.close());

  it('page, sheet, text and JSON agree to the last digit shown', async () => {
    const cwd = folder;
    const plan = [
      'plate.json',
      '--fills',
      '3',
      '--way',
      'encapsulated',
      '--temp',
      '21',
      '--room',
      '60',
      '--density',
      '1.13',
    ];
    const json = JSON.parse((await plateful(['mix', ...plan, '--json'], { cwd })).out);
    const text = (await plateful(['mix', ...plan], { cwd })).out;
    expect((await plateful(['sheet', ...plan, '-o', 'run.html', '--date', '2026-11-25'], { cwd })).err).toBe('');

    const { page } = await openPage(browser, folder);
    await page.setInputFiles('input[type=file]', join(folder, 'plate.json'));
    await page.getByText('encapsulated', { exact: true }).click();
    await page.getByLabel('Fills of the plate').fill('3');
    await page.getByLabel('Density mixed').fill('1.13');
    await page.getByLabel('Temperature').fill('21');
    await page.getByLabel('Room volume').fill('60');

    const sheet = await browser.newPage();
    await sheet.goto(`file://${join(folder, 'run.html')}`);

    for (const { number, name, massG, volumeMl } of json.perCavity) {
      const onPage = await page.locator(`tr[data-cavity="${number}"] .mass`).textContent();
      const row = sheet
        .locator('tbody tr', { has: sheet.locator('td.no', { hasText: new RegExp(`^${number}$`) }) })
        .first();
      const onSheet = (await row.locator('td').allTextContents()).slice(0, 4);
      const inText = cellsOf(text, number);
      // The document holds the figure whole; everywhere else it is rounded, once.
      expect(Number(onPage)).toBeCloseTo(massG, massG >= 10 ? 1 : 2);
      expect(onSheet).toEqual([String(number), name, volumeMl.toFixed(3), onPage]);
      expect(inText).toContain(onPage);
      expect(inText).toContain(volumeMl.toFixed(3));
    }
    const partsOnPage = await page.locator('.result .batch').first().locator('.parts b').allTextContents();
    const partsOnSheet = await sheet.locator('section.batch').first().locator('td.n.big').allTextContents();
    expect(partsOnPage).toEqual(partsOnSheet.map((mass) => `${mass} g`));
    for (const mass of partsOnSheet) expect(text).toMatch(new RegExp(`\\s${mass}\\s`));
    expect(partsOnSheet).toEqual(
      json.batches[0].order.map(({ massG }: { massG: number }) => massG.toFixed(massG >= 10 ? 1 : 2)),
    );
    // The whole document: what the page saves is what the command line prints.
    await page.locator('.menu summary').click();
    const waiting = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Save the mix' }).click();
    expect(JSON.parse(await readFile(await (await waiting).path(), 'utf8'))).toEqual(json);

    // The survey's own measures stand beside the grams.
    for (const { number, depthMm } of survey.cavities) {
      const cells = await page.locator(`tr[data-cavity="${number}"] td`).allTextContents();
      expect(cells).toContain(depthMm!.toFixed(2));
      const onSheet = await sheet
        .locator('tbody tr')
        .nth(number - 1)
        .locator('td')
        .allTextContents();
      expect(onSheet).toContain(depthMm!.toFixed(2));
    }
    for (const fact of await page.locator('.facts dd').allTextContents())
      expect(await sheet.textContent('body')).toContain(fact);
  });
});
