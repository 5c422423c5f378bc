import { writeFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { servePage } from '../../cli/page-server.js';
import { shelfTemplate } from '../../src/fill/shelf/shelf-template.js';
import { plateful } from '../cli/harness.js';
import { samplePlate } from '../sheet/sample-plate.js';
import { buildPage, openPage, startBrowser, surveyIn, withBrowser } from './browser.js';
import { smallPlate } from './small-plate.js';

const axe = createRequire(import.meta.url).resolve('axe-core/axe.min.js');
const planned = { ...samplePlate(), findings: samplePlate().findings.filter(({ severity }) => severity !== 'stop') };

withBrowser('the page in a browser', () => {
  let browser: Browser;
  let folder: string;
  let mould: string;
  let survey: string;
  beforeAll(async () => {
    [browser, folder] = await Promise.all([startBrowser(), buildPage()]);
    mould = join(folder, 'small.stl');
    survey = join(folder, 'sample.survey.json');
    await writeFile(mould, smallPlate());
    await writeFile(survey, JSON.stringify(planned));
  });
  afterAll(() => browser?.close());

  /** Goes to an element with the tab key alone, as far as a whole page may be. */
  async function tabTo(page: Page, target: Locator, back = false): Promise<void> {
    for (let i = 0; i < 250; i++) {
      if (await target.evaluate((element) => element === document.activeElement)) return;
      await page.keyboard.press(back ? 'Shift+Tab' : 'Tab');
    }
    throw new Error('the tab key never comes there');
  }

  it('goes the whole way by keyboard alone', async () => {
    const { page, complaints } = await openPage(browser, folder);
    await tabTo(page, page.getByRole('button', { name: 'Choose a file' }));
    const choosing = page.waitForEvent('filechooser');
    await page.keyboard.press('Enter');
    await (await choosing).setFiles(mould);
    await page.locator('.cavities tbody tr').first().waitFor({ timeout: 60_000 });

    // The picture: pick, turn, cut.
    await tabTo(page, page.locator('.stage canvas'));
    await page.keyboard.press('n');
    await page.keyboard.press('n');
    await expect.poll(() => page.locator('.cavities tr.on').getAttribute('data-cavity')).toBe('2');
    const place = () => page.locator('.mark.number.on').getAttribute('style');
    const before = await place();
    await page.keyboard.press('ArrowLeft');
    await page.keyboard.press('+');
    await expect.poll(place).not.toBe(before);
    await page.keyboard.press('f');
    await tabTo(page, page.getByLabel('cut open'));
    await page.keyboard.press('Space');
    await tabTo(page, page.getByLabel('place of the section, mm'));
    const at = await page.locator('.slide output').textContent();
    await page.keyboard.press('ArrowRight');
    await expect.poll(() => page.locator('.slide output').textContent()).not.toBe(at);
    await tabTo(page, page.locator('svg.section'));
    await page.keyboard.press('ArrowRight');
    await expect.poll(() => page.locator('.section-box .readout').textContent()).toMatch(/^(cavity|at)/);

    // A name, the mix, saving, the sheet.
    await tabTo(page, page.locator('.cavities input[data-name="2"]'));
    await page.keyboard.press('Control+A');
    await page.keyboard.type('ghost slab');
    await tabTo(page, page.getByLabel('Density mixed'));
    await page.keyboard.type('1.2');
    const volume = Number(await page.locator('tr[data-cavity="2"] td').nth(2).textContent());
    await expect
      .poll(async () => Number(await page.locator('tr[data-cavity="2"] .mass').textContent()) / volume)
      .toBeCloseTo(1.2, 1);
    await tabTo(page, page.locator('.menu summary'), true);
    await page.keyboard.press('Enter');
    const save = page.getByRole('button', { name: 'Save the survey' });
    await tabTo(page, save);
    const download = page.waitForEvent('download');
    await page.keyboard.press('Enter');
    expect((await download).suggestedFilename()).toBe('small.survey.json');
    await tabTo(page, page.getByRole('button', { name: 'Sheet', exact: true }), true);
    await page.keyboard.press('Enter');
    await expect.poll(() => page.frameLocator('iframe.paper').locator('body').textContent()).toContain('ghost slab');

    // At the scale, in figures and Enter.
    await tabTo(page, page.getByRole('button', { name: 'Scale', exact: true }), true);
    await page.keyboard.press('Enter');
    await tabTo(page, page.getByRole('button', { name: '7', exact: true }));
    for (const _ of [1, 2]) {
      await page.keyboard.type((await page.locator('.due .target').textContent())!.replace(/[^\d.]/g, ''));
      await tabTo(page, page.getByRole('button', { name: 'Take it' }));
      await page.keyboard.press('Enter');
    }
    await expect.poll(() => page.locator('.due .part').textContent()).toBe('All in');
    expect(complaints).toEqual([]);
  });

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

  it('prints labels with what is written for them, never as markup', async () => {
    const { page } = await openPage(browser, folder);
    await page.setInputFiles('input[type=file]', survey);
    await page.getByRole('button', { name: 'Sheet', exact: true }).click();
    await page.getByText('labels for the boxes').click();
    await page.getByLabel("character's code").fill('SG-04 <b>');
    await page.getByLabel('edge dissolves in').fill('isopropanol');
    await page.getByLabel('of each piece').fill('2');
    const sheet = page.frameLocator('iframe.paper').locator('body');
    await expect.poll(() => sheet.locator('li').count()).toBe(2 * planned.cavities.length);
    expect(await sheet.locator('li').first().textContent()).toContain('SG-04 <b>');
    expect(await sheet.locator('li').last().textContent()).toContain('isopropanol');
  });

  it.each(['light', 'dark'] as const)('has no serious or critical issue for axe-core, %s', async (colorScheme) => {
    const { page } = await openPage(browser, folder, { colorScheme, bypassCSP: true });
    const issues: string[] = [];
    const look = async (where: string) => {
      await page.addScriptTag({ path: axe });
      const found = await page.evaluate(async () => {
        const { axe: run } = globalThis as unknown as {
          axe: {
            run(options: object): Promise<{ violations: { id: string; impact: string; nodes: { html: string }[] }[] }>;
          };
        };
        const { violations } = await run.run({ resultTypes: ['violations'] });
        return violations.map(({ id, impact, nodes }) => ({ id, impact, html: nodes[0]?.html ?? '' }));
      });
      for (const { id, impact, html } of found) {
        if (impact === 'serious' || impact === 'critical') issues.push(`${where}: ${id} ${html.slice(0, 160)}`);
      }
    };
    await look('start');
    await surveyIn(page, mould);
    await page.getByRole('button', { name: 'cavity 1', exact: true }).click();
    await page.getByLabel('cut open').check();
    await page.getByText('encapsulated', { exact: true }).click();
    await look('plate');
    await page.getByText('as a plan').click();
    await look('plan');
    for (const view of ['Scale', 'Shelf', 'Log', 'Sheet']) {
      await page.getByRole('button', { name: view, exact: true }).click();
      if (view === 'Shelf') await page.getByRole('button', { name: 'Add a recipe' }).click();
      if (view === 'Sheet') await page.getByText('labels for the boxes').click();
      await look(view);
    }
    const bad = join(folder, 'bad.stl');
    await writeFile(bad, 'no mesh at all');
    await page.setInputFiles('input[type=file]', bad);
    await page.locator('.fault.panel').waitFor();
    await look('fault');
    expect(issues).toEqual([]);
  });

  // 720 px is a window of 1440 at 200 %, 320 px one of 1280 at 400 % (WCAG 1.4.10, Reflow).
  it.each([720, 390, 320])('needs no scrolling sideways in a window of %i px', async (width) => {
    const { page } = await openPage(browser, folder, { viewport: { width, height: 600 } });
    await page.setInputFiles('input[type=file]', survey);
    const tooWide: string[] = [];
    for (const view of ['Plate', 'Scale', 'Shelf', 'Log', 'Sheet']) {
      await page.getByRole('button', { name: view, exact: true }).click();
      if (view === 'Plate') await page.getByRole('button', { name: 'cavity 1', exact: true }).click();
      if (view === 'Shelf') await page.getByRole('button', { name: 'Add a silicone' }).click();
      const by = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
      if (by > 0) tooWide.push(`${view} by ${by} px`);
    }
    expect(tooWide).toEqual([]);
  });

  it('shows hostile names as text everywhere', async () => {
    const hostile = ['<img src=x onerror="alert(1)">', '<b>\u202egnp.exe\u2066</b>', `${'x'.repeat(9_990)}&amp;`];
    const bad = structuredClone(planned);
    hostile.forEach((name, i) => {
      bad.cavities[i]!.name = name;
    });
    bad.source.file = `${hostile[0]}/${hostile[1]}.stl`;
    bad.findings.push({ code: 'made-up', severity: 'caution', message: hostile[0]! });
    const path = join(folder, 'hostile.json');
    await writeFile(path, JSON.stringify(bad));
    const { page, requests, complaints } = await openPage(browser, folder);
    page.on('dialog', () => complaints.push('a dialog'));
    await page.setInputFiles('input[type=file]', path);
    await page.locator('.cavities tbody tr').first().waitFor();
    const nothingMade = async () => {
      expect(await page.locator('img, b bdi b, table b > b').count()).toBe(0);
      // A direction mark is shown as its escape; it reaches only the boxes in which the name itself is edited.
      expect(await page.evaluate(() => document.body.textContent!.includes('\u202e'))).toBe(false);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
      expect(wide, 'px that the page is too wide').toBeLessThanOrEqual(1);
    };
    await page.getByRole('button', { name: 'cavity 1', exact: true }).click();
    await page.getByText('How many of each piece').click();
    await nothingMade();
    expect(await page.locator('.findings-panel').textContent()).toContain(hostile[0]);
    await page.getByText('as a plan').click();
    await nothingMade();
    for (const view of ['Scale', 'Log', 'Sheet']) {
      await page.getByRole('button', { name: view, exact: true }).click();
      await nothingMade();
    }
    const sheet = page.frameLocator('iframe.paper').locator('body');
    expect(await sheet.locator('img, script').count()).toBe(0);
    expect(await sheet.textContent()).toContain('<img src=x onerror="alert(1)">');
    expect(await sheet.textContent()).toContain('\\u{202e}gnp.exe');
    // The names of files that are opened, of materials and of what was logged come from strangers as well.
    await page.setInputFiles('input[type=file]', {
      name: '<img src=x>\u202egnp.shelf.json',
      mimeType: 'application/json',
      buffer: Buffer.from(JSON.stringify({ pigments: [{ name: hostile[0], density: '1 g/ml' }] })),
    });
    await expect.poll(() => page.locator('.say').textContent()).toContain('<img src=x>');
    await nothingMade();
    await page.getByRole('button', { name: 'Scale', exact: true }).click();
    while ((await page.getByRole('button', { name: 'Take it' }).count()) > 0) {
      await page.locator('.keys-of-pad').getByRole('button', { name: '9', exact: true }).click();
      await page.getByRole('button', { name: 'Take it' }).click();
    }
    await page.getByRole('button', { name: 'Log this cup' }).click();
    await page.getByRole('button', { name: 'Log', exact: true }).click();
    await page.getByText('Weigh the pieces of run 1 in').click();
    await nothingMade();
    expect(complaints).toEqual([]);
    expect(requests.every((address) => /^(file:|about:)/.test(address))).toBe(true);
  });

  it('asks for the unit where it cannot be told, and refuses what is no mesh in the words of the command line', async () => {
    const inches = join(folder, 'inches.stl');
    await writeFile(inches, smallPlate(1 / 25.4));
    const { page } = await openPage(browser, folder);
    await page.setInputFiles('input[type=file]', inches);
    await page.getByRole('button', { name: 'inches' }).click({ timeout: 60_000 });
    await page.locator('.cavities tbody tr').first().waitFor({ timeout: 60_000 });
    expect(await page.locator('.findings-panel').textContent()).not.toContain('unit-assumed');
    const empty = join(folder, 'empty.stl');
    await writeFile(empty, '');
    await page.setInputFiles('input[type=file]', empty);
    const { err } = await plateful(['survey', 'empty.stl'], { cwd: folder });
    const [, sentence] = /^empty\.stl: (.*) \[/.exec(err)!;
    await expect.poll(() => page.locator('.fault.panel').textContent()).toContain(sentence!.split('. ')[0]);
  });

  it('answers a cancel at once, and keeps what was open', async () => {
    const { page } = await openPage(browser, folder);
    await surveyIn(page, mould);
    await page.setInputFiles('input[type=file]', join(import.meta.dirname, '../../fixtures/demo/sea-ghost.stl'));
    await page.getByRole('button', { name: 'Cancel' }).click();
    await page.locator('.task').waitFor({ state: 'hidden' });
    expect(await page.locator('.cavities tbody tr').count()).toBe(3);
    // the browser tells of a worker's end a moment after it
    await expect.poll(() => page.workers()).toHaveLength(0);
  });

  it('gives the memory back: ten files in a row need no more than two', async () => {
    const server = await servePage(folder, 0);
    try {
      const page = await (await browser.newContext()).newPage();
      await page.goto(server.address);
      const used = async (): Promise<number> =>
        page.evaluate(async () => {
          const { performance: clock } = window as unknown as {
            performance: { measureUserAgentSpecificMemory(): Promise<{ bytes: number }> };
          };
          return (await clock.measureUserAgentSpecificMemory()).bytes;
        });
      const again = async (times: number) => {
        for (let i = 0; i < times; i++) {
          await page.setInputFiles('input[type=file]', mould);
          await page.locator('.task').waitFor({ state: 'visible' });
          await page.locator('.task').waitFor({ state: 'hidden', timeout: 60_000 });
        }
      };
      await again(2);
      const two = await used();
      await again(8);
      expect((await used()) / two).toBeLessThan(1.25);
    } finally {
      await server.close();
    }
  }, 240_000);
});
