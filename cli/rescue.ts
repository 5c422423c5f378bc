import { Option } from 'commander';
import { Fault } from '../src/base/fault.js';
import { type BenchFlags, benchMix } from './bench-mix.js';
import { checkReadings, type Reading, readings } from './bench-options.js';
import type { CommandSpec } from './command.js';
import { exitStatus, type Io } from './io.js';
import { addMaterialOptions } from './material-options.js';
import { amount, assumeOption, wholeNumber } from './option-values.js';
import { outWidth } from './text-screen.js';

interface RescueFlags extends BenchFlags {
  inCup: Reading[];
  running?: true;
  cup?: number;
  vacuum?: true;
  minutes?: number;
  scaleStep?: number;
  display: 'metric' | 'us';
  json?: true;
}

/** `rescue --in-cup A=30,B=20`: what to add so that a cup comes back into its ratio. */
export const rescueCommand: CommandSpec = {
  declare(program, io, finish) {
    const command = program
      .command('rescue')
      .summary('bring a cup back into its ratio')
      .description('A cup was weighed wrongly: what to add to come back into the ratio, and whether it is worth it.')
      .argument('[mix]', "a saved plan (mix --json); '-' reads it from standard input")
      .requiredOption('--in-cup <PART=GRAMS,…>', 'what is in the cup now', readings)
      .option('--batch <n>', 'which batch of the plan', wholeNumber(1, 100_000), 1)
      .option('--running', 'the scale was not tared between the parts');
    addMaterialOptions(command)
      .option('--cup <ml>', 'the cup it is in', amount(5, 50_000, 'ml'))
      .option('--vacuum', 'it still goes under vacuum')
      .option('--minutes <min>', 'since A met B', amount(0, 1440, 'min'))
      .option('--temp <C>', 'temperature of the room', amount(0, 45, '°C'))
      .option('--scale-step <g>', "the scale's step", amount(0.001, 5, 'g'))
      .option(...assumeOption)
      .addOption(new Option('--display <units>', 'units of the table').choices(['metric', 'us']).default('metric'))
      .option('--json', 'print one JSON document')
      .action(async (mix: string | undefined, flags: RescueFlags) => finish(await run(mix, flags, io)));
  },
};

async function run(path: string | undefined, flags: RescueFlags, io: Io): Promise<number> {
  const running = flags.running ?? false;
  const bench = await benchMix(path, flags, io);
  const parts = bench.mix.shares.map(({ part }) => part);
  checkReadings(flags.inCup, parts, running);
  if (flags.inCup.every(({ shownG }) => shownG === 0)) {
    const remedy = `Give the grams that are in it: ${parts.map((part) => `${part}=…`).join(',')}.`;
    throw new Fault({ code: 'cup-empty', kind: 'usage', message: 'Nothing is in the cup.', remedy });
  }
  const [{ inCupFrom }, { rescue }, { cautionsAtScale }, { assumed }] = await Promise.all([
    import('../src/fill/bench/retarget.js'),
    import('../src/fill/bench/rescue.js'),
    import('../src/fill/cautions.js'),
    import('../src/fill/assumptions.js'),
  ]);
  const assume = assumed('straight', bench.assume);
  const result = rescue(bench.mix, inCupFrom(flags.inCup, running), {
    cupMl: flags.cup ?? bench.cupMl,
    degassed: flags.vacuum ?? bench.degassed,
    elapsedMinutes: flags.minutes,
    potLife: bench.potLife,
    scale: { stepG: flags.scaleStep },
    assume,
  });
  const cautions = cautionsAtScale(bench.cautions);
  if (flags.json) {
    const { jsonText } = await import('../src/sheet/json.js');
    await io.out(jsonText({ format: 'plateful.rescue', version: 1, ...result, cautions }));
  } else {
    const { rescueText } = await import('../src/sheet/bench-text.js');
    const { ratioTolerancePct: tolerancePct, rescueUntilPct } = assume;
    const shown = { width: outWidth(io), display: flags.display, running, tolerancePct, rescueUntilPct };
    await io.out(rescueText({ ...result, cautions, potLifeKnown: bench.potLife !== undefined }, shown));
  }
  return result.tooLate || result.fits === false ? exitStatus.limit : exitStatus.done;
}
