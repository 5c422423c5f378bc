import { expect, test } from 'vitest';
import { retold, toured } from './tour.js';

// After a wanted change of the output: npx tsx tests/docs/tour.ts
test.each(toured)('%s shows what the program prints', async (file) => {
  const { stands, told } = await retold(file);
  expect(stands).toContain('```console\n$ node dist/cli/main.js ');
  expect(told).toBe(stands);
});
