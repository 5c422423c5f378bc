import type { CavityTruth, MadePlate } from '../../fixtures/make/plate.js';
import { type Matrix, moved } from '../../fixtures/make/transform.js';
import { to3mf, toAsciiStl, toBinaryStl, toObj, toPly } from '../../fixtures/make/write.js';
import { bytesSource } from '../../src/base/source.js';
import type { CavityRecord, SurveyDocument } from '../../src/base/survey-document.js';
import type { TriangleMesh } from '../../src/mesh/triangle-mesh.js';
import { type SurveyOptions, survey } from '../../src/survey.js';

export type Format = 'stl' | 'ascii' | 'obj' | 'ply' | '3mf';

const writers: Readonly<Record<Format, (mesh: TriangleMesh) => Uint8Array>> = {
  stl: toBinaryStl,
  ascii: toAsciiStl,
  obj: toObj,
  ply: (mesh) => toPly(mesh, 'binary_little_endian'),
  '3mf': to3mf,
};

/**
 * The survey of a mesh through the bytes of a file, as a person's file goes through. Without edges unless asked
 * otherwise: nothing here looks at them.
 */
export async function surveyFile(
  mesh: TriangleMesh,
  format: Format,
  options: SurveyOptions = {},
): Promise<SurveyDocument> {
  const result = await survey(bytesSource(`plate.${format}`, writers[format](mesh)), { edges: null, ...options });
  return result.document;
}

/** Spacing of float32 numbers at the mesh's largest coordinate: what a binary STL keeps. */
export function float32Step({ positions }: TriangleMesh): number {
  const largest = positions.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  return 2 ** (Math.floor(Math.log2(largest)) - 23);
}

export interface Pair {
  readonly truth: CavityTruth;
  readonly ours: CavityRecord;
}

/**
 * Each true cavity with the one surveyed at its place, whatever its number or name. `motion`: what was done to the made
 * plate before it was written.
 * @throws Error where a true cavity has none, or a surveyed one is left over
 */
export function pairs(document: SurveyDocument, made: MadePlate, motion?: Matrix, within = 3): Pair[] {
  const left = [...document.cavities];
  const found = made.truth.cavities.map((truth) => {
    const [xs, ys] = [0, 1].map((axis) => truth.rimLoops[0]!.filter((_, i) => i % 2 === axis));
    const middle = [(Math.min(...xs!) + Math.max(...xs!)) / 2, (Math.min(...ys!) + Math.max(...ys!)) / 2];
    let point: TriangleMesh = { positions: Float64Array.of(middle[0]!, middle[1]!, 0), triangles: new Uint32Array() };
    if (motion !== undefined) point = moved(point, motion);
    const [x, y] = moved(point, document.plate.toPlate!).positions;
    const distance = (ours: CavityRecord) => Math.hypot(ours.centreMm[0] - x!, ours.centreMm[1] - y!);
    const nearest = left.toSorted((a, b) => distance(a) - distance(b))[0];
    if (nearest === undefined || distance(nearest) > within) throw new Error(`no cavity at the place of ${truth.name}`);
    left.splice(left.indexOf(nearest), 1);
    return { truth, ours: nearest };
  });
  if (left.length > 0)
    throw new Error(`phantom cavities: ${left.map(({ name, centreMm }) => `${name} at ${centreMm}`)}`);
  return found;
}
