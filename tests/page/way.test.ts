import { execFileSync } from 'node:child_process';
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { Ajv2020 } from 'ajv/dist/2020.js';
import type { Browser, Download, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import type { SurveyDocument } from '../../src/base/survey-document.js';
import type { MixDocument } from '../../src/fill/mix-document.js';
import { plateful } from '../cli/harness.js';
import { buildPage, demo, openPage, startBrowser, withBrowser } from './browser.js';

/** Drops a file on the page, as a hand with a mouse does. */
async function drop(page: Page, name: string, bytes: Buffer): Promise<void> {
  const transfer = await page.evaluateHandle(
    ({ text, fileName }) => {
      const data = Uint8Array.from(atob(text), (char) => char.charCodeAt(0));
      const transferred = new DataTransfer();
      transferred.items.add(new File([data], fileName));
      return transferred;
    },
    { text: bytes.toString('base64'), fileName: name },
  );
  for (const type of ['dragenter', 'dragover', 'drop']) {
    await page.dispatchEvent('main', type, { dataTransfer: transfer });
  }
}

async function saved(page: Page, word: string): Promise<string> {
  await page.locator('.menu summary').click();
  const waiting = page.waitForEvent('download');
  await page.getByRole('button', { name: `Save the ${word}`, exact: true }).click();
  return readFile(await (await waiting).path(), 'utf8');
}

const contents = async (download: Download): Promise<string> => readFile(await download.path(), 'utf8');

withBrowser('the whole way on the demo', () => {
  let browser: Browser;
  let folder: string;
  beforeAll(async () => {
    [browser, folder] = await Promise.all([startBrowser(), buildPage()]);
  });
  afterAll(() => browser?.close());

  it('drop, survey, pick, section, change the material, save, reopen, print', async () => {
    const { page, requests, complaints } = await openPage(browser, folder, { viewport: { width: 1440, height: 1000 } });
    await drop(page, 'sea-ghost.obj', await readFile(demo.obj));
    const rows = page.locator('.cavities tbody tr');
    await rows.first().waitFor({ timeout: 120_000 });
    expect(await rows.count()).toBe(9);

    // The same survey as on the command line, to the byte.
    const cwd = join(demo.obj, '..');
    const fromCli = await plateful(['survey', 'sea-ghost.obj', '--json'], { cwd });
    expect(await saved(page, 'survey')).toBe(fromCli.out);
    const survey: SurveyDocument = JSON.parse(fromCli.out);
    const chin = survey.cavities.find(({ name }) => name === 'chin plate')!;

    // Picked in the table, the picture follows; picked in the picture, the table follows.
    await page.getByRole('button', { name: `cavity ${chin.number}`, exact: true }).click();
    await expect.poll(() => page.locator('.mark.number.on').textContent()).toBe(String(chin.number));
    await page.getByRole('button', { name: 'look from above' }).click();
    const scar = survey.cavities.find(({ name }) => name === 'scar')!;
    const canvas = (await page.locator('.stage canvas').boundingBox())!;
    // From above the plate lies in the middle of the picture, 0.92 of it or less, in its own proportions.
    const { lengthMm, widthMm } = survey.plate;
    const perMm = 0.92 * Math.min(canvas.width / lengthMm!, canvas.height / widthMm!);
    const x = canvas.x + canvas.width / 2 + (scar.centreMm[0] - lengthMm! / 2) * perMm;
    const y = canvas.y + canvas.height / 2 - (scar.centreMm[1] - widthMm! / 2) * perMm;
    await page.mouse.move(x, y);
    await expect
      .poll(() => page.locator('.stage .readout').textContent())
      .toMatch(new RegExp(`^${scar.number}: [\\d.]+ mm thick, [\\d.]+ mm deep`));
    await page.mouse.click(x, y);
    await expect.poll(() => page.locator('.cavities tr.on').getAttribute('data-cavity')).toBe(String(scar.number));

    // Section through the chin plate: no deeper than its depth, no thicker than its largest ball.
    await page.getByRole('button', { name: `cavity ${chin.number}`, exact: true }).click();
    await page.getByLabel('cut open').check();
    expect(await page.locator('.slide output').textContent()).toBe(
      `y ${(Math.round(chin.centreMm[1] * 4) / 4).toFixed(1)} mm`,
    );
    const section = page.locator('svg.section');
    const { width, height } = (await section.boundingBox())!;
    await section.hover({ position: { x: (chin.centreMm[0] / lengthMm!) * width, y: height * 0.7 } });
    const readout = (await page.locator('.section-box .readout').textContent())!;
    const [, number, thick, deep] = /^cavity (\d+), at [\d.]+ mm: ([\d.]+) mm thick, ([\d.]+) mm deep$/.exec(readout)!;
    expect(Number(number)).toBe(chin.number);
    expect(Number(deep)).toBeLessThanOrEqual(chin.depthMm! + 0.005);
    expect(Number(deep)).toBeGreaterThan(chin.depthMm! / 2);
    expect(Number(thick)).toBeLessThanOrEqual(chin.thickness!.maxMm! + 0.005);
    const place = page.getByLabel('place of the section, mm');
    await place.fill('20.25');
    await expect.poll(() => page.locator('.slide output').textContent()).toBe('y 20.3 mm');
    await page.getByLabel('cut open').uncheck();

    // Bodies lifted out, and every colouring with its legend in mm.
    await page.getByLabel('lift the pieces out').fill('0.6');
    await page.getByLabel('face up', { exact: true }).check();
    await page.getByLabel('lift the pieces out').fill('0');
    for (const by of ['depth', 'tear margin', 'undercut', 'thickness']) {
      await page.getByText(by, { exact: true }).first().click();
      await expect.poll(() => page.locator('.legend').getAttribute('aria-label')).toMatch(/mm.*dark .* to pale /);
    }

    // A name changed in the plan is changed in the table and in the names list.
    await page.getByText('as a plan').click();
    await page.locator(`.plan-sheet input[data-name="${chin.number}"]`).fill('chin of the eldest ghost');
    expect(await page.locator(`.cavities input[data-name="${chin.number}"]`).inputValue()).toBe(
      'chin of the eldest ghost',
    );
    expect(await saved(page, 'names list')).toContain('chin of the eldest ghost,');

    // Mass is volume times density: the grams follow what is typed.
    const mass = page.locator(`tr[data-cavity="${chin.number}"] .mass`);
    const massAt = (density: number) => ((chin.volumeMm3! / 1000) * density).toFixed(2);
    await page.getByLabel('Density mixed').fill('1.2');
    await expect.poll(() => mass.textContent()).toBe(massAt(1.2));
    await page.getByLabel('Density mixed').fill('1,05');
    await expect.poll(() => mass.textContent()).toBe(massAt(1.05));
    await page.getByLabel('Density mixed').fill('11');
    await expect.poll(() => page.locator('.result').textContent()).toContain('from 0.5 to 3');
    await page.getByLabel('Density mixed').fill('1.05');
    await page.getByLabel('A', { exact: true }).fill('10');
    await page.getByLabel('B', { exact: true }).fill('1');
    await page.getByLabel('Fills of the plate').fill('3');
    const mixText = await saved(page, 'mix');
    const mix: MixDocument = JSON.parse(mixText);
    const [a, b] = mix.batches[0]!.parts;
    expect(a!.massG / b!.massG).toBeCloseTo(10, 1);

    // The saved survey holds its schema, and opens again with the same figures and the same plan.
    const surveyText = await saved(page, 'survey');
    const schema = JSON.parse(await readFile(new URL('../../docs/schema/survey.schema.json', import.meta.url), 'utf8'));
    expect(new Ajv2020().validate(schema, JSON.parse(surveyText))).toBe(true);
    const table = await page.locator('.cavities table').textContent();
    const again = await openPage(browser, folder);
    const path = join(folder, 'saved.survey.json');
    await writeFile(path, surveyText);
    await again.page.setInputFiles('input[type=file]', path);
    await again.page.getByLabel('Density mixed').fill('1.05');
    await again.page.getByLabel('A', { exact: true }).fill('10');
    await again.page.getByLabel('B', { exact: true }).fill('1');
    await again.page.getByLabel('Fills of the plate').fill('3');
    expect(await again.page.locator('.cavities table').textContent()).toBe(table);
    expect(await saved(again.page, 'mix')).toBe(mixText);

    // The sheet, printed: another program reads the grams in the PDF.
    await page.getByRole('button', { name: 'Sheet', exact: true }).click();
    const frame = page.frameLocator('iframe.paper');
    expect(await frame.locator('h1').textContent()).toBe('sea-ghost.obj');
    const waiting = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Save as a file' }).click();
    const sheet = join(folder, 'sheet.html');
    await writeFile(sheet, await contents(await waiting));
    const paper = await (await browser.newContext()).newPage();
    await paper.goto(`file://${sheet}`);
    const pdf = join(folder, 'sheet.pdf');
    await paper.pdf({ path: pdf, preferCSSPageSize: true });
    const printed = execFileSync('pdftotext', ['-layout', pdf, '-'], { encoding: 'utf8' });
    for (const { order } of mix.batches) {
      for (const { part, massG } of order) {
        expect(printed).toMatch(new RegExp(`${part}\\s+${massG.toFixed(massG >= 10 ? 1 : 2)}`));
      }
    }
    expect(printed.replace(/\s+/g, ' ')).toContain('chin of the eldest');
    expect(printed).toContain(survey.source.sha256);

    expect(complaints).toEqual([]);
    expect(
      requests.filter((address) => !/^(file:\/\/.*plateful\.html|blob:|data:|about:srcdoc)/.test(address)),
    ).toEqual([]);
  }, 300_000);
});
