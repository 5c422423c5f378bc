import { Option } from 'commander';
import { checkReadings, type Reading, readings } from './bench-options.js';
import type { CommandSpec } from './command.js';
import { exitStatus, type Io } from './io.js';
import { addMaterialOptions, type MaterialFlags, recipeOf, shelfOf } from './material-options.js';
import { amount } from './option-values.js';
import { outWidth } from './text-screen.js';

interface RescueFlags extends MaterialFlags {
  inCup: Reading[];
  running?: true;
  cup?: number;
  vacuum?: true;
  minutes?: number;
  temp?: number;
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
      .requiredOption('--in-cup <PART=GRAMS,…>', 'what is in the cup now', readings)
      .option('--running', 'the scale was not tared between the parts');
    addMaterialOptions(command)
      .option('--cup <ml>', 'the cup it is in', amount(5, 50_000, 'ml'))
      .option('--vacuum', 'it still goes under vacuum')
      .option('--minutes <min>', 'since A met B', amount(0, 1440, 'min'))
      .option('--temp <C>', 'temperature of the room', amount(0, 45, '°C'))
      .option('--scale-step <g>', "the scale's step", amount(0.001, 5, 'g'))
      .addOption(new Option('--display <units>', 'units of the table').choices(['metric', 'us']).default('metric'))
      .option('--json', 'print one JSON document')
      .action(async (flags: RescueFlags) => finish(await run(flags, io)));
  },
};

async function run(flags: RescueFlags, io: Io): Promise<number> {
  const running = flags.running ?? false;
  const recipe = await recipeOf(flags, await shelfOf(flags.shelf, io));
  const [{ inCupFrom }, { partsInCup, rescue }, { potLifeAt }] = await Promise.all([
    import('../src/fill/bench/retarget.js'),
    import('../src/fill/bench/rescue.js'),
    import('../src/fill/pot-life.js'),
  ]);
  checkReadings(
    flags.inCup,
    partsInCup(recipe).map(({ part }) => part),
    running,
  );
  const result = rescue(recipe, inCupFrom(flags.inCup, running), {
    cupMl: flags.cup,
    degassed: flags.vacuum ?? false,
    elapsedMinutes: flags.minutes,
    potLife: potLifeAt(recipe.silicone, flags.temp),
    scale: { stepG: flags.scaleStep },
  });
  if (flags.json) {
    const { jsonText } = await import('../src/sheet/json.js');
    await io.out(jsonText({ format: 'plateful.rescue', version: 1, ...result }));
  } else {
    const { rescueText } = await import('../src/sheet/bench-text.js');
    await io.out(rescueText(result, { width: outWidth(io), display: flags.display, running }));
  }
  return result.tooLate || result.fits === false ? exitStatus.limit : exitStatus.done;
}
