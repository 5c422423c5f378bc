/** Imports point from later folders to earlier ones only; only the command line may import node: modules. */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';

const root = resolve(import.meta.dirname, '..');
const layers = ['base', 'mesh', 'reading', 'plate', 'cavity', 'measure', 'survey.ts', 'fill', 'sheet', 'page'];

function sourceFiles(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && /\.(ts|tsx)$/.test(entry.name))
    .map((entry) => join(entry.parentPath, entry.name));
}

function layerOf(file: string): number {
  const [first] = relative(join(root, 'src'), file).split('/');
  return first === 'index.ts' ? layers.length : layers.indexOf(first ?? '');
}

const faults: string[] = [];
for (const file of sourceFiles(join(root, 'src'))) {
  const here = relative(root, file);
  const layer = layerOf(file);
  if (layer < 0) faults.push(`${here}: belongs to no layer`);
  for (const [, target] of readFileSync(file, 'utf8').matchAll(/(?:from|import)\s*\(?\s*'([^']+)'/g)) {
    if (target === undefined) continue;
    if (target.startsWith('node:')) faults.push(`${here}: imports ${target}; only cli/ may`);
    if (!target.startsWith('.')) continue;
    const to = resolve(dirname(file), target.replace(/\.js$/, '.ts'));
    if (layerOf(to) > layer) faults.push(`${here}: imports ${target}, which comes after it`);
    if (!relative(join(root, 'src'), to).startsWith('..')) continue;
    faults.push(`${here}: imports ${target}, outside src/`);
  }
}
for (const fault of faults) console.log(fault);
if (faults.length > 0) process.exit(1);
