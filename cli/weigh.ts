import { Option } from 'commander';
import { Fault } from '../src/base/fault.js';
import type { Share } from '../src/fill/bench/retarget.js';
import type { Portion } from '../src/fill/recipe.js';
import { checkReadings, type Reading, readings } from './bench-options.js';
import type { CommandSpec } from './command.js';
import { exitStatus, type Io } from './io.js';
import { addMaterialOptions, type MaterialFlags, recipeOf, shelfOf } from './material-options.js';
import { amount, wholeNumber } from './option-values.js';
import { outWidth } from './text-screen.js';

interface WeighFlags extends MaterialFlags {
  batch: number;
  need?: number;
  weighed?: Reading[];
  running?: true;
  scaleStep?: number;
  display: 'metric' | 'us';
  json?: true;
}

/** `weigh mix.json --weighed A=27.6`: the other parts follow what the scale showed. */
export const weighCommand: CommandSpec = {
  declare(program, io, finish) {
    const command = program
      .command('weigh')
      .summary('at the scale: the other parts follow what was weighed')
      .description('At the scale: type in what it showed for a part, and the others follow it.')
      .argument('[mix]', "a saved plan (mix --json); '-' reads it from standard input")
      .option('--batch <n>', 'which batch of the plan', wholeNumber(1, 100_000), 1)
      .option('--need <g>', 'grams of the whole mix, without a saved plan', amount(0.1, 100_000, 'g'))
      .option('--weighed <PART=GRAMS,…>', 'what the scale showed, in the order of weighing', readings)
      .option('--running', 'the scale was not tared between the parts');
    addMaterialOptions(command)
      .option('--scale-step <g>', "the scale's step", amount(0.001, 5, 'g'))
      .addOption(new Option('--display <units>', 'units of the table').choices(['metric', 'us']).default('metric'))
      .option('--json', 'print one JSON document')
      .action(async (mix: string | undefined, flags: WeighFlags) => finish(await weigh(mix, flags, io)));
  },
};

async function weigh(mix: string | undefined, flags: WeighFlags, io: Io): Promise<number> {
  const { shares, needG } = mix === undefined ? await fromOptions(flags, io) : await fromPlan(mix, flags.batch, io);
  const given = flags.weighed ?? [];
  checkReadings(
    given,
    shares.map(({ part }) => part),
    flags.running ?? false,
  );
  const { inCupFrom, retarget } = await import('../src/fill/bench/retarget.js');
  const result = retarget(shares, inCupFrom(given, flags.running ?? false), {
    needG,
    scale: { stepG: flags.scaleStep },
  });
  if (flags.json) {
    const { jsonText } = await import('../src/sheet/json.js');
    await io.out(jsonText({ format: 'plateful.weigh', version: 1, needG, ...result }));
  } else {
    const { weighText } = await import('../src/sheet/bench-text.js');
    await io.out(weighText(result, { width: outWidth(io), display: flags.display, running: flags.running ?? false }));
  }
  return exitStatus.done;
}

type Batch = { shares: Share[]; needG: number };

async function fromOptions(flags: WeighFlags, io: Io): Promise<Batch> {
  if (flags.need === undefined) {
    const message = 'Neither a saved plan nor the grams of the mix are given.';
    throw new Fault({
      code: 'nothing-to-weigh',
      kind: 'usage',
      message,
      remedy: 'Name mix.json, or give --need GRAMS.',
    });
  }
  const recipe = await recipeOf(flags, await shelfOf(flags.shelf, io));
  return { shares: await inOrder(recipe.portions, recipe.tintInto), needG: flags.need };
}

async function fromPlan(path: string, number: number, io: Io): Promise<Batch> {
  const [{ readMix }, { readNamedText }] = await Promise.all([
    import('../src/fill/read-mix.js'),
    import('./read-text-file.js'),
  ]);
  const plan = await readNamedText(path, io, readMix);
  const batch = plan.batches[number - 1];
  if (batch === undefined) {
    const message = `The plan has ${plan.batches.length} batches, and no batch ${number}.`;
    throw new Fault({ code: 'batch-unknown', kind: 'usage', file: path, message, remedy: 'Count from 1.' });
  }
  const { parts, tintInto } = plan.materials[batch.material]!;
  const portions = parts.map(({ part, kind, sharePct }) => ({ part, kind, share: sharePct / 100 }));
  return { shares: await inOrder(portions, tintInto ?? 'B'), needG: batch.totalG };
}

/** The parts as they are weighed, the tinted one with its colour. */
async function inOrder(portions: readonly Pick<Portion, 'part' | 'kind' | 'share'>[], tintInto: 'A' | 'B') {
  const { weighingOrder } = await import('../src/fill/weighing-order.js');
  const parts = portions.map(({ part, kind, share }) => ({ part, kind, mass: share }));
  return weighingOrder(parts, tintInto).map(({ part, mass }): Share => ({ part, share: mass }));
}
