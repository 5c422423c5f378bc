import { dirname, isAbsolute, join } from 'node:path';
import { type Command, Option } from 'commander';
import { Fault } from '../src/base/fault.js';
import type { LearnedLosses } from '../src/fill/allowances.js';
import { edgesOf } from '../src/fill/edges-of.js';
import type { PlanDocument } from '../src/fill/plan/plan-document.js';
import type { PlanFile } from '../src/fill/plan/plan-file.js';
import type { PlateLoad } from '../src/fill/plate-load.js';
import type { CommandSpec } from './command.js';
import { exitStatus, type Io } from './io.js';
import { loadLog } from './log-file.js';
import { shelfOf } from './material-options.js';
import { readNamedText } from './read-text-file.js';
import { outPaint, outWidth } from './text-screen.js';

export interface OutputFlags {
  display: 'metric' | 'us';
  json?: true;
  csv?: true;
}

interface PlanFlags extends OutputFlags {
  log?: string;
}

export function addOutputOptions(command: Command): Command {
  return command
    .addOption(new Option('--display <units>', 'units of the tables').choices(['metric', 'us']).default('metric'))
    .addOption(new Option('--json', 'print one JSON document').conflicts('csv'))
    .option('--csv', 'print one table as CSV');
}

/** `plan FILE`: who needs what by when, day by day, with the silicone, the money and the stock. */
export const planCommand: CommandSpec = {
  declare(program, io, finish) {
    const command = program
      .command('plan')
      .summary('plan a whole job: wants, days, silicone, stock')
      .description('Plan a whole job from a plan file: who needs what by when, the days, the silicone, the stock.')
      .argument('<file>', 'a plan (YAML or JSON; see docs/plan.md)')
      .option('--log <folder>', 'use the losses that the log of this job folder shows');
    addOutputOptions(command).action(async (file: string, flags: PlanFlags) => {
      const plan = await planOf(file, io);
      const document = await planDocument(file, plan, flags.log, io);
      await io.out(await formatted(document, flags, io));
      finish(statusOf(document));
    });
  },
};

export function statusOf({ findings }: PlanDocument): number {
  return findings.some(({ severity }) => severity === 'stop') ? exitStatus.limit : exitStatus.done;
}

export async function planOf(file: string, io: Io): Promise<PlanFile> {
  const { readPlan } = await import('../src/fill/plan/plan-file.js');
  return readNamedText(file, io, readPlan);
}

/** The plan of a job; the files that it names stand beside it. */
export async function planDocument(
  file: string,
  plan: PlanFile,
  log: string | undefined,
  io: Io,
): Promise<PlanDocument> {
  const { planJob } = await import('../src/fill/plan/plan-job.js');
  const beside = (name: string) => (file === '-' || isAbsolute(name) ? name : join(dirname(file), name));
  const shelf = await shelfOf(plan.shelf === undefined ? undefined : beside(plan.shelf), io);
  const [{ chooseRecipe }, { plateFromSurvey, plateFromWeights }, { surveyOf }] = await Promise.all([
    import('../src/fill/choose-recipe.js'),
    import('../src/fill/plate-load.js'),
    import('./read-plates.js'),
  ]);
  const recipe = ofThisFile(file, () =>
    plan.place.at('material').within(() => chooseRecipe({ name: plan.material }, shelf)),
  );
  const options = { edges: edgesOf(recipe, plan.way) };
  const plates: PlateLoad[] = [];
  for (const { file: mesh, weights } of plan.plates) {
    if (weights !== undefined) plates.push(plateFromWeights(weights, recipe.densityGPerMl));
    else plates.push(plateFromSurvey(await surveyOf(beside(mesh!), options, io)));
  }
  const losses = await learned(plan, log, io);
  return ofThisFile(file, () => planJob({ plan, plates, shelf, learned: losses }));
}

/** Faults in it are faults of this file. */
function ofThisFile<T>(file: string, task: () => T): T {
  try {
    return task();
  } catch (error) {
    if (error instanceof Fault) error.file ??= file;
    throw error;
  }
}

async function learned(plan: PlanFile, log: string | undefined, io: Io): Promise<LearnedLosses | undefined> {
  if (log === undefined) return undefined;
  const { learnedFor, learnLosses } = await import('../src/fill/log/learn.js');
  return learnedFor(plan.way, learnLosses(await loadLog(log, io))) ?? {};
}

export async function formatted(document: PlanDocument, flags: OutputFlags, io: Io): Promise<string> {
  if (flags.json) return (await import('../src/sheet/json.js')).jsonText(document);
  if (flags.csv) return (await import('../src/sheet/plan-csv.js')).planCsv(document);
  const { planText } = await import('../src/sheet/plan-text.js');
  return planText(document, { width: outWidth(io), paint: outPaint(io), display: flags.display });
}
