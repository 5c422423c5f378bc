import { Option } from 'commander';
import { Fault } from '../src/base/fault.js';
import { type BenchFlags, benchMix } from './bench-mix.js';
import { checkReadings, type Reading, readings } from './bench-options.js';
import type { CommandSpec } from './command.js';
import { exitStatus, type Io } from './io.js';
import { addMaterialOptions } from './material-options.js';
import { amount, assumeOption, wholeNumber } from './option-values.js';
import { outWidth } from './text-screen.js';

interface WeighFlags extends BenchFlags {
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
      .option(...assumeOption)
      .addOption(new Option('--display <units>', 'units of the table').choices(['metric', 'us']).default('metric'))
      .option('--json', 'print one JSON document')
      .action(async (mix: string | undefined, flags: WeighFlags) => finish(await weigh(mix, flags, io)));
  },
};

async function weigh(path: string | undefined, flags: WeighFlags, io: Io): Promise<number> {
  if (path === undefined && flags.need === undefined) {
    const message = 'Neither a saved plan nor the grams of the mix are given.';
    const remedy = 'Name mix.json, or give --need GRAMS.';
    throw new Fault({ code: 'nothing-to-weigh', kind: 'usage', message, remedy });
  }
  const bench = await benchMix(path, flags, io);
  const { mix, needG = 0, cupMl, degassed } = bench;
  const running = flags.running ?? false;
  const parts = mix.shares.map(({ part }) => part);
  checkReadings(flags.weighed ?? [], parts, running);
  const [{ inCupFrom, retarget }, { fitsCup }, { cautionsAtScale }, { assumed }] = await Promise.all([
    import('../src/fill/bench/retarget.js'),
    import('../src/fill/bench/rescue.js'),
    import('../src/fill/cautions.js'),
    import('../src/fill/assumptions.js'),
  ]);
  const assume = assumed('straight', bench.assume);
  const leavePct = assume.ratioTolerancePct;
  const result = retarget(mix.shares, inCupFrom(flags.weighed ?? [], running), {
    needG,
    leavePct,
    scale: { stepG: flags.scaleStep },
  });
  const fits = cupMl === undefined ? undefined : fitsCup(result.totalG, mix, cupMl, { degassed, assume });
  const cautions = cautionsAtScale(bench.cautions);
  if (flags.json) {
    const { jsonText } = await import('../src/sheet/json.js');
    await io.out(jsonText({ format: 'plateful.weigh', version: 1, needG, ...result, cupMl, fits, cautions }));
  } else {
    const { weighText } = await import('../src/sheet/bench-text.js');
    const shown = { width: outWidth(io), display: flags.display, running, tolerancePct: leavePct };
    await io.out(weighText({ ...result, cupMl, fits, cautions }, shown));
  }
  return exitStatus.done;
}
