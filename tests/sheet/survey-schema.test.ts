import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { expect, test } from 'vitest';
import { analyticPlate } from '../../fixtures/make/analytic-set.js';
import { loosePieces, plateMould } from '../../fixtures/make/plate.js';
import { toBinaryStl } from '../../fixtures/make/write.js';
import { bytesSource } from '../../src/base/source.js';
import { jsonText, roundSurvey } from '../../src/sheet/json.js';
import { survey } from '../../src/survey.js';

const schema = JSON.parse(readFileSync(`${import.meta.dirname}/../../docs/schema/survey.schema.json`, 'utf8'));

/** The schema lets more keys be added; here each key that is written must stand in it, with a description or a type. */
function closed(part: unknown): unknown {
  if (Array.isArray(part)) return part.map(closed);
  if (part === null || typeof part !== 'object') return part;
  const parts = Object.fromEntries(Object.entries(part).map(([key, value]) => [key, closed(value)]));
  return parts.type === 'object' ? { ...parts, additionalProperties: false } : parts;
}
const holds = new Ajv2020({ allErrors: true, strictTypes: false }).compile(closed(schema) as object);

const { 't-slot': tSlot, bulb, feather } = Object.fromEntries(analyticPlate().cavities.map((c) => [c.name, c]));
const plan = analyticPlate({ meshMm: 1 });
const few = { ...plan, cavities: [tSlot!, bulb!, feather!] };

test.each([
  ['a mould', plateMould(few).mesh, {}],
  ['a mould, quickly', plateMould(few).mesh, { quick: true }],
  ['loose pieces', loosePieces(few).mesh, { form: 'pieces', unit: 'mm' }],
] as const)('%s: the whole document stands in the schema', async (_, mesh, options) => {
  const { document } = await survey(bytesSource('plate.stl', toBinaryStl(mesh)), options);
  const written = JSON.parse(jsonText(roundSurvey(document)));
  holds(written);
  expect((holds.errors ?? []).map(({ instancePath, message, params }) => [instancePath, message, params])).toEqual([]);
  expect(written.cavities.length).toBe(3);
});
