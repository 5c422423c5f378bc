import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { shelfTemplate } from '../../src/fill/shelf/shelf-template.js';
import { samplePlate } from '../sheet/sample-plate.js';
import { buildPage, openPage, startBrowser, withBrowser } from './browser.js';

const planned = { ...samplePlate(), findings: samplePlate().findings.filter(({ severity }) => severity !== 'stop') };

withBrowser('at the bench: scale, log and shelf', () => {
  let browser: Browser;
  let folder: string;
  let survey: string;
  beforeAll(async () => {
    [browser, folder] = await Promise.all([startBrowser(), buildPage()]);
    survey = join(folder, 'sample.survey.json');
    await writeFile(survey, JSON.stringify(planned));
  });
  afterAll(() => browser?.close());

  it('moves the other parts when too much went in, and logs the cup', async () => {
    const { page } = await openPage(browser, folder);
    await page.setInputFiles('input[type=file]', survey);
    await page.getByRole('button', { name: 'Scale', exact: true }).click();
    const target = async () => Number((await page.locator('.due .target').textContent())!.replace(/[^\d.]/g, ''));
    const press = async (text: string) => {
      for (const key of text) await page.getByRole('button', { name: key, exact: true }).click();
      await page.getByRole('button', { name: 'Take it' }).click();
    };
    const first = await target();
    await press(String(first + 2));
    // One to one: B must follow A.
    expect(await target()).toBeCloseTo(first + 2, 1);
    await page.getByRole('button', { name: 'Take the last one back' }).click();
    expect(await target()).toBe(first);
    await page.getByText('runs on').click();
    await press(String(first));
    expect(await target()).toBeCloseTo(2 * first, 1);
    await press((2 * first).toFixed(1));
    await page.getByRole('button', { name: 'Log this cup' }).click();

    await page.getByRole('button', { name: 'Log', exact: true }).click();
    await page.getByText('Weigh the pieces of run 1 in').click();
    await page.locator('.casts').getByLabel('mass').first().fill('5.0');
    await page.getByRole('button', { name: 'Log the pieces' }).click();
    await expect.poll(() => page.locator('.log table').textContent()).toContain('short: air, or scraped too deep');
    // A page that is closed before the log was saved loses nothing.
    await page.reload();
    await page.getByRole('button', { name: 'Log', exact: true }).click();
    expect(await page.locator('.run h3').textContent()).toMatch(/^Run 1/);
  });

  it('has large targets at the scale: 60 px for the keys, and 44 px, the measure of WCAG 2.5.5, for all', async () => {
    const { page } = await openPage(browser, folder, { viewport: { width: 390, height: 800 }, hasTouch: true });
    await page.setInputFiles('input[type=file]', survey);
    await page.getByRole('button', { name: 'Scale', exact: true }).click();
    for (const button of await page.locator('.scale button').all()) {
      const box = (await button.boundingBox())!;
      expect(Math.min(box.width, box.height), (await button.textContent()) ?? '').toBeGreaterThanOrEqual(44);
    }
    for (const key of await page.locator('.keys-of-pad button').all()) {
      expect((await key.boundingBox())!.height).toBeGreaterThanOrEqual(60);
    }
  });

  it('takes a shelf in forms, and mixes by it', async () => {
    const { page } = await openPage(browser, folder);
    await page.setInputFiles('input[type=file]', survey);
    await page.getByRole('button', { name: 'Shelf', exact: true }).click();
    await page.getByRole('button', { name: 'Add a silicone' }).click();
    await expect.poll(() => page.locator('.shelf-say').textContent()).toContain('Not complete yet');
    const card = page.locator('.entry-card').first();
    await card.getByLabel('name *').fill('bench silicone');
    await card.getByLabel('ratio A:B *').fill('10:1');
    await card.getByLabel('ratio by *').selectOption('weight');
    await card.getByLabel('density mixed').fill('SG 1.25');
    await expect.poll(() => page.locator('.shelf-say').textContent()).toContain('Every entry is understood');
    await page.getByRole('button', { name: 'Plate', exact: true }).click();
    await page.getByLabel('Material').selectOption('bench silicone');
    const { volumeMm3 } = planned.cavities[0]!;
    await expect
      .poll(() => page.locator('tr[data-cavity="1"] .mass').textContent())
      .toBe(((volumeMm3! / 1000) * 1.25).toFixed(2));

    // A shelf file opens in the same forms.
    const path = join(folder, 'shelf.yaml');
    await writeFile(path, shelfTemplate);
    await page.setInputFiles('input[type=file]', path);
    await expect.poll(() => page.locator('.entry-card summary').allTextContents()).toContain('sea ghost flesh');
  });
});
