import { execFileSync } from 'node:child_process';
import { chmod, mkdtemp, readdir, readFile, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { plateful } from '../cli/harness.js';
import { samplePlate } from '../sheet/sample-plate.js';
import { withBrowser } from './browser.js';

const survey = { ...samplePlate(), findings: [] };

async function folder(): Promise<string> {
  const made = await mkdtemp(join(tmpdir(), 'plateful-sheet-'));
  await writeFile(join(made, 'plate.json'), JSON.stringify(survey));
  return made;
}

describe('plateful sheet', () => {
  it('writes the same bytes for the same input, whatever the day, where SOURCE_DATE_EPOCH stands for the clock', async () => {
    const cwd = await folder();
    const env = { SOURCE_DATE_EPOCH: String(Date.UTC(2026, 10, 25) / 1000) };
    for (const name of ['one.html', 'two.html']) {
      expect(await plateful(['sheet', 'plate.json', '-o', name], { cwd, env })).toEqual({
        status: 0,
        out: '',
        err: '',
      });
    }
    const one = await readFile(join(cwd, 'one.html'), 'utf8');
    expect(one).toContain('2026-11-25');
    expect(one).toBe(await readFile(join(cwd, 'two.html'), 'utf8'));
  });

  it('writes labels with what is given', async () => {
    const cwd = await folder();
    const flags = ['--labels', '--character', 'SG-04', '--edge', 'isopropanol', '--date', '2026-11-25'];
    expect((await plateful(['sheet', 'plate.json', ...flags, '-o', 'labels.html'], { cwd })).status).toBe(0);
    const html = await readFile(join(cwd, 'labels.html'), 'utf8');
    expect(html.match(/SG-04/g)).toHaveLength(survey.cavities.length);
    expect(html).toContain('isopropanol');
  });

  it.each([
    ['output-format', ['-o', 'run.docx'], 1],
    ['chromium-missing', ['-o', 'run.pdf'], 1],
    ['output-is-input', ['-o', 'plate.html', 'plate.html'], 1],
  ])('refuses with %s and writes nothing', async (code, argv, status) => {
    const cwd = await folder();
    await writeFile(join(cwd, 'plate.html'), JSON.stringify(survey));
    const before = await readdir(cwd);
    const outcome = await plateful(['sheet', 'plate.json', ...argv], {
      cwd,
      env: { PLATEFUL_CHROMIUM: '/nowhere/chromium' },
    });
    expect(outcome.err).toContain(`[${code}]`);
    expect(outcome.status).toBe(status);
    expect(await readdir(cwd)).toEqual(before);
  });

  it('says so where Chromium prints nothing', async () => {
    const cwd = await folder();
    const dumb = join(cwd, 'dumb');
    await writeFile(dumb, '#!/bin/sh\necho no display >&2\n');
    await chmod(dumb, 0o755);
    const outcome = await plateful(['sheet', 'plate.json', '-o', 'run.pdf'], { cwd, env: { PLATEFUL_CHROMIUM: dumb } });
    expect(outcome.err).toContain('no display');
    expect(outcome.err).toContain('[pdf-not-printed]');
    expect(outcome.status).toBe(2);
  });

  it.each(['2026-13-01', '2026-02-30', 'today'])('refuses the day %s', async (date) => {
    expect(
      (await plateful(['sheet', 'plate.json', '-o', 'x.html', '--date', date], { cwd: await folder() })).status,
    ).toBe(1);
  });
});

withBrowser('the printed run sheet', () => {
  /** The text of a PDF as another program reads it (poppler's pdftotext). */
  const textOf = (pdf: string): string => execFileSync('pdftotext', ['-layout', pdf, '-'], { encoding: 'utf8' });
  /** Share of ink on each page, from poppler's rendering as portable grey maps. */
  const ink = (pdf: string): number[] => {
    const dots = execFileSync('pdftoppm', ['-r', '40', '-gray', pdf], { maxBuffer: 1 << 28 });
    const shares: number[] = [];
    for (let at = 0; at < dots.length; ) {
      const head = /^P5\s(\d+)\s(\d+)\s255\s/.exec(dots.subarray(at, at + 40).toString('latin1'))!;
      const size = Number(head[1]) * Number(head[2]);
      const page = dots.subarray(at + head[0].length, at + head[0].length + size);
      shares.push(page.reduce((sum, grey) => sum + (255 - grey) / 255, 0) / size);
      at += head[0].length + size;
    }
    return shares;
  };

  it.each([
    ['a4', [594.96, 841.92]],
    ['letter', [612, 792]],
  ] as const)('fills %s pages, and holds the numbers of the mix document', async (paper, [width, height]) => {
    const cwd = await folder();
    const argv = ['--fills', '3', '--way', 'encapsulated', '--room', '60', '--temp', '22'];
    const sheet = await plateful(['sheet', 'plate.json', ...argv, '--paper', paper, '-o', 'run.pdf'], {
      cwd,
      env: { PATH: process.env.PATH, PLATEFUL_CHROMIUM: process.env.PLATEFUL_CHROMIUM },
    });
    expect(sheet.err).toBe('');
    const pdf = join(cwd, 'run.pdf');
    const info = execFileSync('pdfinfo', [pdf], { encoding: 'utf8' });
    const [, seenWidth, seenHeight] = /Page size:\s+([\d.]+) x ([\d.]+)/.exec(info)!;
    // Chromium rounds a page to whole CSS pixels, 0.75 pt.
    expect(Math.abs(Number(seenWidth) - width)).toBeLessThan(0.76);
    expect(Math.abs(Number(seenHeight) - height)).toBeLessThan(0.76);

    const mix = JSON.parse((await plateful(['mix', 'plate.json', ...argv, '--json'], { cwd })).out);
    const text = textOf(pdf);
    const shown = (massG: number): string => massG.toFixed(massG >= 10 ? 1 : 2);
    for (const { name, volumeMl, massG } of mix.perCavity) {
      expect(text).toMatch(new RegExp(`${volumeMl.toFixed(3)}\\s+${shown(massG)}\\s`));
      for (const word of name.split(' ')) expect(text).toContain(word);
    }
    for (const { order, totalG } of mix.batches) {
      for (const { part, massG } of order) expect(text).toMatch(new RegExp(`${part}\\s+${shown(massG)}`));
      expect(text).toMatch(new RegExp(`in the cup\\s+${shown(totalG)}`));
    }
    expect(text).toContain(`${mix.barrier.lacquerMl.toFixed(1)} ml lacquer`);
    expect(text).toContain(survey.source.sha256);
    for (const caution of mix.cautions) expect(text.replace(/\s+/g, ' ')).toContain(caution);

    const pages = ink(pdf);
    const count = Number(/Pages:\s+(\d+)/.exec(info)![1]);
    expect(pages).toHaveLength(count);
    expect(text.replace(/\s+/g, '')).toContain(`${count}/${count}`);
    // A page of text and tables has a few per cent of ink; under 0.3 % it would hold a line or two.
    for (const share of pages.slice(0, -1)) expect(share).toBeGreaterThan(0.01);
    expect(pages.at(-1)).toBeGreaterThan(0.003);
  });

  it('shows names of every script, and hostile ones as text', async () => {
    const cwd = await folder();
    const bad = samplePlate();
    bad.findings = [];
    bad.cavities[0]!.name = '<script>alert(1)</script>';
    bad.cavities[1]!.name = 'sourcil gauche é';
    await writeFile(join(cwd, 'bad.json'), JSON.stringify(bad));
    const env = { PATH: process.env.PATH, PLATEFUL_CHROMIUM: process.env.PLATEFUL_CHROMIUM };
    expect((await plateful(['sheet', 'bad.json', '-o', 'bad.pdf'], { cwd, env })).err).toBe('');
    const text = textOf(join(cwd, 'bad.pdf')).replace(/\s+/g, '');
    expect(text).toContain('<script>alert(1)');
    expect(text).toContain('sourcil');
  });
});
