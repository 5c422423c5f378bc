import { describe, expect, it } from 'vitest';
import { damages, type Point } from '../../fixtures/faulty/damage.js';
import { analyticPlate } from '../../fixtures/make/analytic-set.js';
import {
  loosePieces,
  type MadePlate,
  type PlatePlan,
  plateMould,
  plateScan,
  sculptClosed,
  sculptOpen,
} from '../../fixtures/make/plate.js';
import { mulberry32 } from '../../fixtures/make/random.js';
import { Fault } from '../../src/base/fault.js';
import type { SurveyDocument } from '../../src/base/survey-document.js';
import { surveyFile } from './surveyed.js';

/** One place and damage after the other; with SEEDS set, that many places of each. */
const seeds = Array.from({ length: Number(process.env.SEEDS ?? 1) }, (_, i) => i + 1);
const plan = analyticPlate({ meshMm: 0.7, landMeshMm: 2 });
const makers: Readonly<Record<string, (plan: PlatePlan) => MadePlate>> = {
  mould: plateMould,
  scan: plateScan,
  'closed sculpt': sculptClosed,
  'open sculpt': sculptOpen,
  pieces: loosePieces,
};

/** A point of a wall under the land; every third one lies on a rim. */
function place(made: MadePlate, up: number, uniform: () => number): Point {
  const { positions: p } = made.mesh;
  if (uniform() < 1 / 3) {
    const { rimLoops } = made.truth.cavities[Math.floor(uniform() * made.truth.cavities.length)]!;
    const i = 2 * Math.floor((uniform() * rimLoops[0]!.length) / 2);
    return [rimLoops[0]![i]!, up > 0 ? rimLoops[0]![i + 1]! : plan.widthMm - rimLoops[0]![i + 1]!, 0];
  }
  for (;;) {
    const v = 3 * Math.floor((uniform() * p.length) / 3);
    if (up * p[v + 2]! < -0.3 && up * p[v + 2]! > -12) return [p[v]!, p[v + 1]!, p[v + 2]!];
  }
}

/** Volumes that are off by more than their doubt and half a per cent, and of which nothing is said. */
function silent(document: SurveyDocument, made: MadePlate, isPieces: boolean): string[] {
  const { cavities, findings } = document;
  const said = (number: number) => findings.some(({ cavity, severity }) => cavity === number && severity !== 'note');
  const wrong: string[] = [];
  for (const { name, volumeMm3: truth } of made.truth.cavities) {
    const ours = cavities.find((cavity) => cavity.name === name);
    // Of a loose piece that is not in the file at all nothing can be known.
    if (ours === undefined) {
      if (!isPieces && !findings.some(({ code }) => code === 'hole-in-land' || code === 'wall-torn'))
        wrong.push(`${name} lost`);
      continue;
    }
    const { number, volumeMm3, volumeUncertaintyMm3 } = ours;
    if (
      volumeMm3 === null
        ? said(number)
        : Math.abs(volumeMm3 - truth) <= Math.max(2 * volumeUncertaintyMm3!, 0.005 * truth)
    )
      continue;
    // A filled hole's doubt is two standard deviations: one in twenty may lie beyond, and is named.
    if (volumeMm3 !== null && findings.some(({ cavity }) => cavity === number)) continue;
    wrong.push(`${name}: ${volumeMm3} for ${truth}`);
  }
  for (const { number, name, volumeMm3 } of cavities) {
    if (made.truth.cavities.some((truth) => truth.name === name)) continue;
    if (volumeMm3 !== null || !said(number)) wrong.push(`${name} is none`);
  }
  return wrong;
}

describe('damage at a random place: repaired, or in the doubt, or a stop; never a wrong number without a word', () => {
  for (const [form, make] of Object.entries(makers)) {
    const made = make(plan);
    const up = form.includes('sculpt') ? -1 : 1;
    it.each(damages.flatMap(({ what }, kind) => seeds.map((seed) => [what, seed, kind] as const)))(
      `${form}: %s, place %i`,
      async (_, seed, kind) => {
        const uniform = mulberry32(1000 * seed + 10 * kind + form.length);
        const mesh = damages[kind]!.done(made.mesh, place(made, up, uniform), up, uniform);
        try {
          const document = await surveyFile(mesh, 'obj', { unit: 'mm' });
          expect(document.plate.form.slice(0, 4)).toMatch(up < 0 ? 'scul' : form === 'pieces' ? 'piec' : /moul|scan/);
          expect(silent(document, made, form === 'pieces')).toEqual([]);
        } catch (error) {
          // A loose flap may take the flat back from a piece: that is said, with what to do.
          if (!(error instanceof Fault)) throw error;
          expect(error.code).toBe('piece-without-back');
        }
      },
    );
  }
});
