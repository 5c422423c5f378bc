/**
 * Writes docs/validation.md from the figures that the tests kept. Run after the tests:
 *   npx vitest run tests/outside tests/measure && SEEDS=20 npx vitest run tests/outside/noise
 *   tests/outside/holes tests/outside/scans tests/outside/alike-noise && npx tsx tests/outside/write-validation.ts
 */
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { checksFolder, type KeptChecks } from '../record.js';

const page = [
  '# Validation',
  '',
  'Every check of the main job against something outside this project: published formulas, other programs, worked',
  'examples. The page is written by `tests/outside/write-validation.ts` from the figures of the tests themselves; where a',
  'check runs in several orientations, formats or seeds, the worst of them is shown and their number given. A difference',
  'is relative unless a unit stands beside it. To write it anew:',
  '`npx vitest run tests/outside tests/measure && SEEDS=20 npx vitest run tests/outside/noise tests/outside/holes',
  'tests/outside/scans tests/outside/alike-noise && npx tsx tests/outside/write-validation.ts`.',
];
for (const name of readdirSync(checksFolder).sort()) {
  const kept = JSON.parse(readFileSync(join(checksFolder, name), 'utf8')) as KeptChecks;
  const { title, file, checks, refusals } = kept;
  page.push('', `## ${title}`, '', `\`tests/${file}\``, '');
  page.push(
    '| check | source | runs | expected | ours | difference | allowed | holds | because |',
    '|---|---|--:|--:|--:|--:|--:|---|---|',
  );
  for (const { check, source, unit, expected, ours, allowed, because, count } of checks) {
    const relative = expected !== 0;
    const show = (value: number) => (relative ? size(value / Math.abs(expected)) : `${size(value)} ${unit}`);
    const cells = [check, source, count, `${figure(expected)} ${unit}`, `${figure(ours)} ${unit}`];
    const holds = Math.abs(ours - expected) <= allowed ? 'yes' : '**no**';
    page.push(`| ${[...cells, show(ours - expected), show(allowed), holds, because].join(' | ')} |`);
  }
  if (refusals.length > 0) page.push('', '| must be refused | with the code |', '|---|---|');
  for (const { what, code } of refusals) page.push(`| ${what} | \`${code}\` |`);
}
writeFileSync(join(import.meta.dirname, '../../docs/validation.md'), `${page.join('\n')}\n`);

/** Seven digits: what is over them differs from one processor to another. */
function figure(value: number): string {
  return String(Number(value.toPrecision(7)));
}

/** A difference to two digits; rounding noise is not told apart. */
function size(value: number): string {
  return Math.abs(value) < 1e-9 ? 'under 1e-9' : value.toExponential(1);
}
