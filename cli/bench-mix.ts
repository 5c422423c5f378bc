import { Fault } from '../src/base/fault.js';
import type { GivenAssumptions } from '../src/fill/assumptions.js';
import type { CupMix } from '../src/fill/bench/rescue.js';
import type { PotLifeHere } from '../src/fill/pot-life.js';
import type { Io } from './io.js';
import { type MaterialFlags, recipeOf, shelfOf } from './material-options.js';

/** What is mixed at the scale: of a saved plan's batch, or of a material that the options name. */
export interface BenchMix {
  readonly mix: CupMix;
  /** What the batch must hold; undefined where no plan says it. */
  readonly needG: number | undefined;
  readonly cupMl: number | undefined;
  readonly degassed: boolean;
  readonly potLife: Pick<PotLifeHere, 'minutes'> | undefined;
  readonly cautions: readonly string[];
  /** The workshop's own figures. */
  readonly assume: GivenAssumptions;
}

export interface BenchFlags extends MaterialFlags {
  batch: number;
  need?: number;
  temp?: number;
  assume?: GivenAssumptions;
}

export async function benchMix(path: string | undefined, flags: BenchFlags, io: Io): Promise<BenchMix> {
  return path === undefined ? fromOptions(flags, io) : fromPlan(path, flags, io);
}

async function fromOptions(flags: BenchFlags, io: Io): Promise<BenchMix> {
  const shelf = await shelfOf(flags.shelf, io);
  const recipe = await recipeOf(flags, shelf);
  const [{ cupMixOf }, { potLifeAt }, { cautionsFor }, { assumed }] = await Promise.all([
    import('../src/fill/bench/rescue.js'),
    import('../src/fill/pot-life.js'),
    import('../src/fill/cautions.js'),
    import('../src/fill/assumptions.js'),
  ]);
  const assume = { ...shelf?.assume, ...flags.assume };
  return {
    mix: cupMixOf(recipe),
    needG: flags.need,
    cupMl: undefined,
    degassed: false,
    potLife: potLifeAt(recipe.silicone, flags.temp, assumed('straight', assume).potLifeFactor),
    cautions: cautionsFor({ way: 'straight', recipes: [recipe], degassed: false }),
    assume,
  };
}

async function fromPlan(path: string, flags: BenchFlags, io: Io): Promise<BenchMix> {
  const given = [
    ['--shelf', flags.shelf],
    ['--material', flags.material],
    ['--density', flags.density ?? flags.densityA ?? flags.densityB],
    ['--ratio', flags.ratio ?? flags.ratioBy],
    ['--need', flags.need],
    ['--temp', flags.temp],
  ].find(([, value]) => value !== undefined);
  if (given !== undefined) {
    const message = `A saved plan and ${given[0]} exclude each other: the plan says what is mixed.`;
    throw new Fault({ code: 'plan-and-material', kind: 'usage', message, remedy: 'Give one of the two.' });
  }
  const [{ readMix }, { readNamedText }, { weighingOrder }] = await Promise.all([
    import('../src/fill/read-mix.js'),
    import('./read-text-file.js'),
    import('../src/fill/weighing-order.js'),
  ]);
  const plan = await readNamedText(path, io, readMix);
  const batch = plan.batches[flags.batch - 1];
  if (batch === undefined) {
    const message = `The plan has ${plan.batches.length} batches, and no batch ${flags.batch}.`;
    throw new Fault({ code: 'batch-unknown', kind: 'usage', file: path, message, remedy: 'Count from 1.' });
  }
  const { parts, tintInto, densityGPerMl, potLife } = plan.materials[batch.material]!;
  const portions = parts.map(({ part, kind, sharePct }) => ({ part, kind, mass: sharePct / 100 }));
  return {
    mix: {
      shares: weighingOrder(portions, tintInto ?? 'B').map(({ part, mass }) => ({ part, share: mass })),
      densityGPerMl,
    },
    needG: batch.totalG,
    cupMl: batch.cupMl,
    degassed: plan.degassed ?? false,
    potLife: potLife ?? undefined,
    cautions: plan.cautions ?? [],
    assume: flags.assume ?? {},
  };
}
