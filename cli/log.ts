import { type Command, InvalidArgumentError, Option } from 'commander';
import { Fault } from '../src/base/fault.js';
import type { NewEntry, Reason } from '../src/fill/log/entry.js';
import { grades, reasons } from '../src/fill/log/entry.js';
import type { CastGiven } from '../src/fill/log/run-from-mix.js';
import type { SavedMix } from '../src/fill/read-mix.js';
import { checkReadings, type Reading, readings } from './bench-options.js';
import type { CommandSpec } from './command.js';
import { exitStatus, type Io } from './io.js';
import { appendEntry, loadLog, logPath, type SetAside } from './log-file.js';
import { amount, pairsOf, wholeNumber } from './option-values.js';
import { outWidth } from './text-screen.js';

interface AddFlags {
  job: string;
  mix?: string;
  batch: number;
  weighed?: Reading[];
  running?: true;
  cast?: CastGiven[];
  left: number;
  note?: string;
  correct?: number;
  withdraw?: number;
  from?: string;
}

/** `brow=3.45`, `2:chin=12.2:reject:air`: a piece, its mass, its grade (hero) and the reason of a reject. */
function casts(text: string): CastGiven[] {
  return pairsOf(text).map((one) => {
    const [, piece, mass, grade = 'hero', reason] = /^(.+)=([\d.]+)(?::([a-z]+)(?::(.+))?)?$/.exec(one.trim()) ?? [];
    const massG = Number(mass);
    if (piece === undefined || !Number.isFinite(massG)) {
      throw new InvalidArgumentError('Write PIECE=GRAMS, with :grade and :reason behind: chin=12.2:reject:air.');
    }
    const known = grades.find((word) => word === grade);
    if (known === undefined) throw new InvalidArgumentError(`The grades are ${grades.join(', ')}.`);
    if (known === 'reject' && !reasons.includes(reason as Reason)) {
      throw new InvalidArgumentError(`A reject has a reason: ${reasons.join(', ')}.`);
    }
    return { piece: piece.trim(), massG, grade: known, ...(known === 'reject' && { reason: reason as Reason }) };
  });
}

interface ReadFlags {
  job: string;
  json?: true;
  csv?: true;
}

const jobOption = ['--job <folder>', "the job's folder", '.'] as const;

/** `log add|check|learn|list`: what was weighed, and what it teaches. */
export const logCommand: CommandSpec = {
  declare(program, io, finish) {
    const log = program
      .command('log')
      .summary('keep what was weighed, and learn from it')
      .description('Keep a log of what was weighed and cast; compare it to the plan; learn the losses from it.');
    declareAdd(log, io, finish);
    log
      .command('check')
      .description("Compare each piece's mass to its prediction.")
      .option(...jobOption)
      .addOption(new Option('--json', 'print one JSON document').conflicts('csv'))
      .option('--csv', 'print one table as CSV')
      .action(async (flags: ReadFlags) => finish(await check(flags, io)));
    log
      .command('learn')
      .description('Fit what stays in the cup and on the land from the runs; mix --log then uses it.')
      .option(...jobOption)
      .option('--json', 'print one JSON document')
      .action(async (flags: { job: string; json?: true }) => finish(await learn(flags, io)));
    log
      .command('list')
      .description('Show the runs that count, corrections applied.')
      .option(...jobOption)
      .addOption(new Option('--json', 'print one JSON document').conflicts('csv'))
      .option('--csv', 'print one table as CSV')
      .action(async (flags: ReadFlags) => finish(await list(flags, io)));
  },
};

function declareAdd(log: Command, io: Io, finish: (status: number) => void): void {
  log
    .command('add')
    .description('Add a line. It is never edited afterwards: a wrong one is corrected by another line.')
    .option(...jobOption)
    .option('--mix <file>', 'the saved plan that was followed (mix --json)')
    .option('--batch <n>', 'which batch of it', wholeNumber(1, 100_000), 1)
    .option('--weighed <PART=GRAMS,…>', 'the parts as weighed', readings)
    .option('--running', 'the scale was not tared between the parts')
    .option('--cast <PIECE=GRAMS:GRADE,…>', 'the cured pieces: brow=3.4:hero,chin=12.2:reject:air', casts)
    .option('--left <g>', 'mix that was left over and weighed', amount(0, 100_000, 'g'), 0)
    .option('--note <text>', 'a remark')
    .option('--correct <n>', 'this line stands for run N', wholeNumber(1, 1e9))
    .option('--withdraw <n>', 'run N never was', wholeNumber(1, 1e9))
    .option('--from <file>', "entries from JSON Lines, '-' for standard input; each is acknowledged")
    .action(async (flags: AddFlags) => finish(await add(flags, io)));
}

async function add(flags: AddFlags, io: Io): Promise<number> {
  const path = logPath(flags.job, io.cwd);
  for await (const content of flags.from === undefined ? [await entryFrom(flags, io)] : entriesFrom(flags.from, io)) {
    const { entry, setAside } = await appendEntry(path, content, new Date().toISOString());
    if (setAside !== undefined) io.err(setAsideLine(setAside));
    await io.out(`logged ${entry.entry}\n`);
  }
  return exitStatus.done;
}

function setAsideLine({ bytes, file }: SetAside): string {
  return `The last line of the log was cut off (${bytes} bytes): it was set aside in ${file}. Add that run again. [log-line-cut]\n`;
}

async function* entriesFrom(path: string, io: Io): AsyncGenerator<NewEntry> {
  const [{ newEntryReader }, { Place }, { readNamedText }] = await Promise.all([
    import('../src/fill/log/entry.js'),
    import('../src/fill/shape.js'),
    import('./read-text-file.js'),
  ]);
  const lines = (await readNamedText(path, io, (text) => text)).split('\n');
  for (const [i, line] of lines.entries()) {
    if (line.trim() === '') continue;
    const where = `line ${i + 1}`;
    try {
      yield newEntryReader(JSON.parse(line), new Place('entry', [], () => i + 1));
    } catch (error) {
      if (error instanceof Fault) error.file ??= path;
      if (!(error instanceof SyntaxError)) throw error;
      const remedy = 'Write one JSON object a line.';
      throw new Fault({ code: 'entry-not-json', file: path, where, message: 'This is not JSON.', remedy });
    }
  }
}

async function entryFrom(flags: AddFlags, io: Io): Promise<NewEntry> {
  const fault = (code: string, message: string, remedy: string) => new Fault({ code, kind: 'usage', message, remedy });
  if (flags.withdraw !== undefined) return { kind: 'correction', of: flags.withdraw, run: null };
  if (flags.mix === undefined || flags.weighed === undefined) {
    throw fault(
      'nothing-to-log',
      'A run needs its plan and what was weighed.',
      'Give --mix mix.json and --weighed A=27.6,B=27.6.',
    );
  }
  const [{ readMix }, { runFromMix }, { inCupFrom }, { readNamedText }] = await Promise.all([
    import('../src/fill/read-mix.js'),
    import('../src/fill/log/run-from-mix.js'),
    import('../src/fill/bench/retarget.js'),
    import('./read-text-file.js'),
  ]);
  const mix = await readNamedText(flags.mix, io, readMix);
  const batch = mix.batches[flags.batch - 1];
  if (batch === undefined) {
    throw fault(
      'batch-unknown',
      `The plan has ${mix.batches.length} batches, and no batch ${flags.batch}.`,
      'Count from 1.',
    );
  }
  const parts = [...new Set([...batch.parts, ...batch.order].map(({ part }) => part))];
  checkReadings(flags.weighed, parts, flags.running ?? false);
  checkWhole(flags.weighed, batch);
  const weighed = [...inCupFrom(flags.weighed, flags.running ?? false)].map(([part, massG]) => ({ part, massG }));
  const run = runFromMix(mix, flags.batch - 1, {
    weighed,
    casts: flags.cast ?? [],
    leftG: flags.left,
    note: flags.note,
  });
  return flags.correct === undefined ? { kind: 'run', run } : { kind: 'correction', of: flags.correct, run };
}

/** A part that was left out would be taken for a loss. @throws Fault `part-missing` */
function checkWhole(weighed: readonly Reading[], { parts, order }: SavedMix['batches'][number]): void {
  const named = new Set(weighed.map(({ part }) => part));
  const missing = (list: readonly { part: string; massG: number }[]) =>
    list.filter(({ part, massG }) => massG > 0 && !named.has(part)).map(({ part }) => part);
  // As it is poured, the tinted part in one; or every part by itself.
  const lacking = [missing(order), missing(parts)].toSorted((a, b) => a.length - b.length)[0]!;
  if (lacking.length === 0) return;
  const message = `What was weighed lacks ${lacking.join(', ')}.`;
  const remedy = `Give every part: ${order.map(({ part }) => `${part}=…`).join(',')}.`;
  throw new Fault({ code: 'part-missing', kind: 'usage', message, remedy });
}

async function check(flags: ReadFlags, io: Io): Promise<number> {
  const log = await loadLog(flags.job, io);
  const { checkLog } = await import('../src/fill/log/check.js');
  const checked = checkLog(log);
  if (flags.json) {
    const { jsonText } = await import('../src/sheet/json.js');
    await io.out(jsonText({ format: 'plateful.log-check', version: 1, casts: checked, damaged: log.damaged }));
  } else if (flags.csv) {
    const { checkCsv } = await import('../src/sheet/log-csv.js');
    await io.out(checkCsv(checked));
  } else {
    const { checkText } = await import('../src/sheet/log-text.js');
    await io.out(checkText(checked, { width: outWidth(io) }));
  }
  return exitStatus.done;
}

async function learn(flags: { job: string; json?: true }, io: Io): Promise<number> {
  const log = await loadLog(flags.job, io);
  const { learnLosses } = await import('../src/fill/log/learn.js');
  const lessons = learnLosses(log);
  if (flags.json) {
    const { jsonText } = await import('../src/sheet/json.js');
    await io.out(jsonText({ format: 'plateful.lessons', version: 1, ...lessons }));
  } else {
    const { learnText } = await import('../src/sheet/log-text.js');
    await io.out(learnText(lessons, { width: outWidth(io) }));
  }
  return exitStatus.done;
}

async function list(flags: ReadFlags, io: Io): Promise<number> {
  const log = await loadLog(flags.job, io);
  const { runsOf } = await import('../src/fill/log/entry.js');
  const runs = runsOf(log);
  if (flags.json) {
    const { jsonText } = await import('../src/sheet/json.js');
    await io.out(jsonText({ format: 'plateful.log', version: 1, runs, damaged: log.damaged }));
  } else if (flags.csv) {
    const { runsCsv } = await import('../src/sheet/log-csv.js');
    await io.out(runsCsv(runs));
  } else {
    const { runsText } = await import('../src/sheet/log-text.js');
    await io.out(runsText(runs, { width: outWidth(io) }));
  }
  return exitStatus.done;
}
