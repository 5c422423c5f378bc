/**
 * Makes one file each of the scripts that threads start from, packages and all: a thread loads one module where it would
 * look up a hundred, which saves a survey some 100 ms. Runs on what tsc wrote, which stays as it is but for these two.
 */
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { build } from 'esbuild';
import { noticesOf } from '../tools/notices.mjs';

const folder = join(import.meta.dirname, '../dist/cli');

const { metafile } = await build({
  entryPoints: ['survey-thread.js', 'measure-thread.js'].map((name) => join(folder, name)),
  outdir: folder,
  allowOverwrite: true,
  bundle: true,
  format: 'esm',
  platform: 'node',
  target: 'node20',
  // It looks for its wasm beside itself.
  external: ['manifold-3d'],
  metafile: true,
  minifySyntax: true,
  minifyWhitespace: true,
  charset: 'utf8',
  logLevel: 'warning',
});

await writeFile(join(folder, 'NOTICES.txt'), await noticesOf([metafile]));
