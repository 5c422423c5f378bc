import { InvalidArgumentError } from 'commander';
import type { CommandSpec } from './command.js';
import { exitStatus, type Io } from './io.js';
import { logPath, readLogFile } from './log-file.js';
import { addOutputOptions, formatted, type OutputFlags, planDocument, planOf, statusOf } from './plan.js';

interface TopUpFlags extends OutputFlags {
  job: string;
  start?: string;
}

function day(text: string): string {
  if (/^\d{4}-\d{2}-\d{2}$/.test(text) && Number.isFinite(Date.parse(`${text}T00:00:00Z`))) return text;
  throw new InvalidArgumentError('Write year-month-day: 2026-12-04.');
}

/** `top-up plan.yaml --job FOLDER`: a plan of just the pieces that the log shows short. */
export const topUpCommand: CommandSpec = {
  declare(program, io, finish) {
    const command = program
      .command('top-up')
      .summary('plan just the pieces that the log shows short')
      .description('Plan just the pieces that the log of a job shows short of its plan.')
      .argument('<file>', 'the plan of the job')
      .option('--job <folder>', "the job's folder, with its log", '.')
      .option('--start <day>', 'first day of the top-up; that of the plan where not given', day);
    addOutputOptions(command).action(async (file: string, flags: TopUpFlags) => finish(await run(file, flags, io)));
  },
};

async function run(file: string, flags: TopUpFlags, io: Io): Promise<number> {
  const plan = await planOf(file, io);
  const log = await readLogFile(logPath(flags.job, io.cwd));
  const { topUp } = await import('../src/fill/plan/top-up.js');
  const result = topUp(plan, log, flags.start ?? plan.start);
  if (result.plan === undefined) {
    if (flags.json) {
      const { jsonText } = await import('../src/sheet/json.js');
      await io.out(jsonText({ format: 'plateful.plan', version: 1, pieces: [] }));
    } else await io.out('The log shows every wanted piece and spare cast: nothing is short.\n');
    return exitStatus.done;
  }
  const document = await planDocument(file, result.plan, flags.job, io);
  await io.out(await formatted(document, flags, io));
  return statusOf(document);
}
