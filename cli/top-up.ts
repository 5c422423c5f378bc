import { InvalidArgumentError } from 'commander';
import type { CommandSpec } from './command.js';
import { exitStatus, type Io } from './io.js';
import { loadLog } from './log-file.js';
import { addOutputOptions, formatted, type OutputFlags, planDocument, planOf, statusOf } from './plan.js';
import { outWidth } from './text-screen.js';

interface TopUpFlags extends OutputFlags {
  job: string;
  start?: string;
}

function day(text: string): string {
  const time = /^\d{4}-\d{2}-\d{2}$/.test(text) ? Date.parse(`${text}T00:00:00Z`) : Number.NaN;
  if (Number.isFinite(time) && new Date(time).toISOString().startsWith(text)) return text;
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
  const log = await loadLog(flags.job, io);
  const { topUp } = await import('../src/fill/plan/top-up.js');
  const { plan: rest, short } = topUp(plan, log, flags.start ?? plan.start);
  if (rest === undefined) {
    await io.out(await nothingShort(flags));
    return exitStatus.done;
  }
  const document = await planDocument(file, rest, flags.job, io);
  if (flags.json) {
    const { jsonText } = await import('../src/sheet/json.js');
    await io.out(jsonText({ ...document, short }));
  } else {
    if (!flags.csv) {
      const { shortText } = await import('../src/sheet/plan-text.js');
      await io.out(shortText(short, outWidth(io)));
    }
    await io.out(await formatted(document, flags, io));
  }
  return statusOf(document);
}

/** The plan of nothing, in the form that was asked for. */
async function nothingShort(flags: OutputFlags): Promise<string> {
  const message = 'The log shows every wanted piece and spare cast: nothing is short.';
  if (flags.csv) return (await import('../src/sheet/plan-csv.js')).wantsCsv([]);
  if (!flags.json) return `${message}\n`;
  const { jsonText } = await import('../src/sheet/json.js');
  return jsonText({
    format: 'plateful.plan',
    version: 1,
    pieces: [],
    plates: [],
    days: [],
    leftOver: [],
    mix: null,
    money: { currency: '', usedCost: 0, buyCost: 0, unpriced: [], materials: [] },
    findings: [{ code: 'nothing-short', severity: 'note', message }],
    cautions: [],
    short: [],
  });
}
