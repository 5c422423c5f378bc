import { mkdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { zipSync } from 'fflate';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { type PlatePlan, plateMould } from '../../fixtures/make/plate.js';
import { toBinaryStl } from '../../fixtures/make/write.js';
import { shelfTemplate } from '../../src/fill/shelf/shelf-template.js';
import { plateful } from '../cli/harness.js';
import { samplePlate } from '../sheet/sample-plate.js';
import { buildPage, openPage, startBrowser, withBrowser } from './browser.js';
import { smallPlate } from './small-plate.js';

const thinPlate: PlatePlan = {
  lengthMm: 120,
  widthMm: 80,
  blockMm: 15,
  meshMm: 2,
  cavities: [{ name: 'shallow', shape: { kind: 'cap', radius: 20, depth: 0.4 }, x: 60, y: 40 }],
};

const planned = { ...samplePlate(), findings: samplePlate().findings.filter(({ severity }) => severity !== 'stop') };
const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);

async function saved(page: Page, button: string): Promise<Buffer> {
  await page.locator('.menu summary').click();
  const waiting = page.waitForEvent('download');
  await page.getByRole('button', { name: button, exact: true }).click();
  return readFile(await (await waiting).path());
}

withBrowser('the folder of a job', () => {
  let browser: Browser;
  let folder: string;
  beforeAll(async () => {
    [browser, folder] = await Promise.all([startBrowser(), buildPage()]);
    await writeFile(join(folder, 'sample.survey.json'), JSON.stringify(planned));
  });
  afterAll(() => browser?.close());

  const open = async (path: string) => {
    const { page } = await openPage(browser, folder);
    await page.setInputFiles('input[type=file]', path);
    return page;
  };

  it('is saved as one file, and opens again as it was left: names, mix, wants, shelf and log', async () => {
    const page = await open(join(folder, 'sample.survey.json'));
    await writeFile(join(folder, 'shelf.yaml'), shelfTemplate);
    await page.setInputFiles('input[type=file]', join(folder, 'shelf.yaml'));
    await page.getByRole('button', { name: 'Plate', exact: true }).click();
    await page.locator('.cavities input[data-name="2"]').fill('fin of the third ghost');
    await page.getByLabel('Material').selectOption('sea ghost flesh');
    await page.getByLabel('Density mixed', { exact: true }).fill('1.17');
    await page.getByText('How many of each piece').click();
    await page.locator('.wants').getByLabel('fin of the third ghost').fill('4');
    await page.getByRole('button', { name: 'cavity 1', exact: true }).click();
    await page.getByLabel('leave it empty in this plan').check();
    await page.getByRole('button', { name: 'Scale', exact: true }).click();
    while ((await page.getByRole('button', { name: 'Take it' }).count()) > 0) {
      await page.locator('.keys-of-pad').getByRole('button', { name: '9', exact: true }).click();
      await page.getByRole('button', { name: 'Take it' }).click();
    }
    await page.getByRole('button', { name: 'Log this cup' }).click();
    const mix = await saved(page, 'Save the mix');
    const path = join(folder, 'sample.job.zip');
    await writeFile(path, await saved(page, 'Save the whole job'));

    const again = await open(path);
    await expect
      .poll(() => again.locator('.cavities input[data-name="2"]').inputValue())
      .toBe('fin of the third ghost');
    await expect.poll(() => again.getByLabel('Material').inputValue()).toBe('sea ghost flesh');
    expect(await again.getByLabel('Density mixed', { exact: true }).inputValue()).toBe('1.17');
    expect(await saved(again, 'Save the mix')).toEqual(mix);
    await again.getByRole('button', { name: 'Log', exact: true }).click();
    expect(await again.locator('.run h3').textContent()).toMatch(/^Run 1/);
  });

  it('opens as a folder with its mould, and asks the plan of the command line for way and wants', async () => {
    const job = join(folder, 'job');
    await mkdir(join(job, 'notes'), { recursive: true });
    await writeFile(join(job, 'small.stl'), smallPlate());
    await writeFile(
      join(job, 'small.names.csv'),
      'name,x,y\r\nghost bowl,25,40\r\nghost slab,60,40\r\nghost well,95,40\r\n',
    );
    await writeFile(join(job, 'notes', 'remember.txt'), 'no file of ours');
    await writeFile(
      join(job, 'plan.yaml'),
      'way: encapsulated\nplates: [{file: small.stl}]\nwants: [{piece: ghost slab, count: 3, spares: 1}]\nstart: 2026-11-30\n',
    );
    const { page, complaints } = await openPage(browser, folder);
    const choosing = page.waitForEvent('filechooser');
    await page.getByRole('button', { name: 'Choose a job folder' }).click();
    await (await choosing).setFiles(job);
    await page.locator('.cavities tbody tr').first().waitFor({ timeout: 60_000 });
    await expect.poll(() => page.locator('.cavities input[data-name="2"]').inputValue()).toBe('ghost slab');
    await expect.poll(() => page.getByLabel('encapsulated', { exact: true }).isChecked()).toBe(true);
    await page.getByText('How many of each piece').click();
    expect(await page.locator('.wants').getByLabel('ghost slab').inputValue()).toBe('4');
    expect(complaints).toEqual([]);
  });

  it('keeps the names of a survey when its mould is opened after it', async () => {
    const { page } = await openPage(browser, folder);
    const mould = join(folder, 'small.stl');
    await writeFile(mould, smallPlate());
    await page.setInputFiles('input[type=file]', mould);
    await page.locator('.cavities input[data-name="1"]').fill('bowl of ghosts');
    const path = join(folder, 'small.survey.json');
    await writeFile(path, await saved(page, 'Save the survey'));
    const again = await open(path);
    await again.getByText('opened without its mesh').waitFor();
    await again.setInputFiles('input[type=file]', mould);
    await again.locator('.stage canvas').waitFor({ timeout: 60_000 });
    expect(await again.locator('.cavities input[data-name="1"]').inputValue()).toBe('bowl of ghosts');
  });

  it('judges the edges for the mix, as the command line does', async () => {
    const { page } = await openPage(browser, folder);
    const mould = join(folder, 'feather.stl');
    const { mesh } = plateMould(thinPlate);
    await writeFile(mould, toBinaryStl(mesh));
    await page.setInputFiles('input[type=file]', mould);
    const watch = page.locator('tr[data-cavity="1"] .watch');
    await expect.poll(() => watch.textContent(), { timeout: 60_000 }).toContain('thin edge');
    // The plan lets the barrier carry the edge at once; the survey is asked again for the rest.
    await page.getByText('encapsulated', { exact: true }).click();
    await expect.poll(() => watch.textContent()).not.toContain('thin edge');
    await page.getByLabel('Density mixed').fill('1.07');
    await page.getByRole('button', { name: 'Judge them for this mix' }).click();
    await page.getByRole('button', { name: 'Judge them for this mix' }).waitFor({ state: 'hidden', timeout: 60_000 });
    const findings = (text: string) =>
      (JSON.parse(text) as { findings: { code: string; message: string }[] }).findings
        .map(({ code, message }) => `${code} ${message}`)
        .sort();
    const argv = ['mix', 'feather.stl', '--way', 'encapsulated', '--density', '1.07', '--json'];
    const fromCli = await plateful(argv, { cwd: folder });
    const material = /material/i;
    const sameEverywhere = (list: string[]) => list.filter((line) => !material.test(line));
    expect(sameEverywhere(findings((await saved(page, 'Save the mix')).toString()))).toEqual(
      sameEverywhere(findings(fromCli.out)),
    );
  });

  it.each([
    ['names-without-plate', 'names.csv', bytes('name,x,y\nbrow,1,2\n')],
    ['form-damaged', 'form.json', bytes('{"format": "plateful.mix-form", "version": 1, "form": {"left": "all"}}')],
    ['mix-is-made', 'old.mix.json', bytes('{"format": "plateful.mix", "version": 1}')],
    ['job-zip', 'cut.zip', zipSync({ 'a.json': bytes('{}') }).subarray(0, 40)],
    [
      'job-too-large',
      'many.zip',
      zipSync(Object.fromEntries(Array.from({ length: 201 }, (_, i) => [`${i}.json`, bytes('{}')]))),
    ],
  ])('refuses with %s', async (code, name, content) => {
    const path = join(folder, name);
    await writeFile(path, content);
    const page = await open(path);
    await expect.poll(() => page.locator('.fault.panel code').textContent()).toBe(code);
  });
});
