import { readFileSync } from 'node:fs';
import { beforeAll, expect, test } from 'vitest';
import type { Finding } from '../../src/base/finding.js';
import { bytesSource } from '../../src/base/source.js';
import { survey } from '../../src/survey.js';

let findings: readonly Finding[];
let names: string[];
beforeAll(async () => {
  const bytes = readFileSync(new URL('../../fixtures/demo/sea-ghost.obj', import.meta.url));
  const { document } = await survey(bytesSource('sea-ghost.obj', new Uint8Array(bytes)));
  findings = document.findings;
  names = document.cavities.map(({ name }) => name);
});

/** What was put into the demo on purpose (fixtures/demo/README.md), and what a person is to do about it. */
const shown: readonly [code: string, pieces: readonly string[], remedy: RegExp][] = [
  ['thick-rim', ['chin plate'], /Feather it out/],
  ['thin-inside', ['chin plate'], /cut the mould there, or build up the sculpt, by 0\.\d\d mm or more/],
  ['thin-edge', ['barnacle', 'scar', 'skin transfer'], /by \d\.\d\d mm or more, or cast it encapsulated/],
  ['undercut', ['chin plate', 'barnacle'], /stretch.*Brush release well into it/],
  ['air-trap', ['barnacle'], /brush a first coat up into it and massage/],
  ['narrow-hollow', ['gill fan'], /brush a first coat in here/],
  ['little-land', [], /scrape|Trim|move them apart/],
  ['tilt', [], /raise the plate's .* by 5 degrees.*Fill the open plate level/],
  ['edge-assumptions', [], /Put in your own/],
];

test.each(shown)('the demo shows %s, where it was put and nowhere else, with what to do', (code, pieces, remedy) => {
  const found = findings.filter((finding) => finding.code === code);
  const where = found.flatMap(({ cavity }) => (cavity === undefined ? [] : names[cavity - 1]!));
  expect(where).toEqual(pieces);
  expect(found.length).toBe(Math.max(1, pieces.length));
  for (const { message } of found) expect(message).toMatch(remedy);
});

test('every piece has its place to start lifting; its good edges have no finding', () => {
  expect(findings.filter(({ code }) => code === 'lift-start')).toHaveLength(names.length);
  for (const good of ['brow left', 'brow right', 'ear tip left', 'ear tip right']) {
    const own = findings.filter(({ cavity }) => cavity !== undefined && names[cavity - 1] === good);
    expect(own.map(({ code }) => code)).toEqual(['lift-start']);
  }
});

test('no sentence is longer than a bench has patience for', () => {
  for (const { message } of findings) expect(message.length, message).toBeLessThan(340);
});
