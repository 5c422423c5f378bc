import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readPlan } from '../../src/fill/plan/plan-file.js';
import { unitsOf } from '../../src/fill/shelf/units.js';
import { plateful } from '../cli/harness.js';

const page = (name: string) => readFileSync(join(import.meta.dirname, '../../docs', name), 'utf8');

describe('the documents of the fill plan', () => {
  it('the plan in docs/plan.md is a plan', () => {
    const yaml = page('plan.md')
      .split('\n')
      .filter((line) => line.startsWith('    '))
      .map((line) => line.slice(4))
      .join('\n');
    expect(readPlan(yaml)).toMatchObject({ way: 'encapsulated', turns: 1, deliveryDays: 3, roomC: 22 });
  });

  it('docs/shelf.md names only units that are read', () => {
    const rows = [...page('shelf.md').matchAll(/^\| (density|mass|volume|time|temperature|tear) [^|]*\| ([^|]+) \|/gm)];
    expect(rows).toHaveLength(6);
    for (const [, dimension, units] of rows) {
      for (const unit of units!.replace(/ \([^)]*\)/g, '').split(', ')) {
        expect(Object.keys(unitsOf[dimension as 'mass'].factors), `${dimension}: ${unit}`).toContain(
          unit.toLowerCase(),
        );
      }
    }
  });

  it('names the commands that there are', async () => {
    const { out } = await plateful(['--help']);
    for (const name of ['mix', 'plan', 'top-up', 'weigh', 'rescue', 'log', 'shelf']) {
      expect(out).toMatch(new RegExp(`^  ${name} `, 'm'));
    }
  });
});
