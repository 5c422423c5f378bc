import { Option } from 'commander';
import { Fault } from '../src/base/fault.js';
import type { MixDocument } from '../src/fill/mix-document.js';
import type { CommandSpec } from './command.js';
import { exitStatus, type Io } from './io.js';
import { addPlanOptions, type PlanFlags, planFiles } from './plan-options.js';
import { outPaint, outWidth } from './text-screen.js';

interface MixFlags extends PlanFlags {
  display: 'metric' | 'us';
  json?: true;
  csv?: true;
}

/** `mix FILE…`: the grams of every part for the pieces of one or more plates. */
export const mixCommand: CommandSpec = {
  declare(program, io, finish) {
    const command = program
      .command('mix')
      .summary('plan the grams of A and B')
      .description('Plan the silicone of one or more plates: grams of A and B for each piece and each batch.')
      .argument('[files...]', "meshes or saved surveys; '-' reads a survey from standard input");
    addPlanOptions(command)
      .addOption(new Option('--display <units>', 'units of the table').choices(['metric', 'us']).default('metric'))
      .option('--json', 'print one JSON document')
      .option('--csv', 'print the pieces as CSV')
      .action(async (files: string[], flags: MixFlags) => finish(await planAndPrint(files, flags, io)));
  },
};

async function planAndPrint(files: readonly string[], flags: MixFlags, io: Io): Promise<number> {
  if (flags.json && flags.csv) {
    throw new Fault({
      code: 'json-and-csv',
      kind: 'usage',
      message: '--json and --csv exclude each other.',
      remedy: 'Give one of the two.',
    });
  }
  const { document } = await planFiles(files, flags, io);
  await io.out(await formatted(document, flags, io));
  return document.findings.some(({ severity }) => severity === 'stop') ? exitStatus.limit : exitStatus.done;
}

async function formatted(document: MixDocument, flags: MixFlags, io: Io): Promise<string> {
  if (flags.json) return (await import('../src/sheet/json.js')).jsonText(document);
  if (flags.csv) return (await import('../src/sheet/mix-csv.js')).mixCsv(document);
  const { mixText } = await import('../src/sheet/mix-text.js');
  return mixText(document, { width: outWidth(io), paint: outPaint(io), display: flags.display });
}
