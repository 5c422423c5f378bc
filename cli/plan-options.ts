import { type Command, Option } from 'commander';
import { Fault } from '../src/base/fault.js';
import type { SurveyDocument } from '../src/base/survey-document.js';
import type { LengthUnit } from '../src/base/units.js';
import type { LearnedLosses, WayOfCasting } from '../src/fill/allowances.js';
import type { GivenAssumptions } from '../src/fill/assumptions.js';
import type { BarrierSpec } from '../src/fill/barrier.js';
import { edgesOf } from '../src/fill/edges-of.js';
import type { MixDocument } from '../src/fill/mix-document.js';
import type { PlateLoad } from '../src/fill/plate-load.js';
import type { Recipe } from '../src/fill/recipe.js';
import type { Shelf } from '../src/fill/shelf/shelf.js';
import type { Io } from './io.js';
import { addMaterialOptions, type MaterialFlags, recipeOf, shelfOf } from './material-options.js';
import { amount, assumeOption, cups, namedNumbers, wholeNumber, words } from './option-values.js';
import { unitOption } from './options.js';

/** The options that decide a plan, for every command that makes one. */
export interface PlanFlags extends MaterialFlags {
  weights?: { name: string; value: number }[];
  way: WayOfCasting;
  fills?: number;
  want?: { name: string; value: number }[];
  only?: string[];
  overfill?: number;
  cupLoss?: number;
  temp?: number;
  cup?: number[];
  scaleStep?: number;
  scaleMax?: number;
  vacuum?: true;
  lacquer?: string;
  film?: number;
  thinner?: number;
  transfer?: number;
  airbrushCup?: number;
  room?: number;
  airChanges?: number;
  log?: string;
  despite?: string[];
  assume?: GivenAssumptions;
  unit?: LengthUnit;
  split?: true;
}

/** Declares them. */
export function addPlanOptions(command: Command): Command {
  addMaterialOptions(
    command.option('--weights <NAME=GRAMS,…>', 'pieces weighed once, in place of a file', namedNumbers('GRAMS', false)),
  );
  return command
    .addOption(new Option('--way <way>', 'way of casting').choices(['straight', 'encapsulated']).default('straight'))
    .option('--fills <count>', 'how often each plate is filled (1)', wholeNumber(1, 10_000))
    .option('--want <NAME=COUNT,…>', 'how many of each piece; decides the fills', namedNumbers('COUNT', true))
    .option('--only <3,7>', 'numbers or names of the cavities to fill', words)
    .option('--overfill <pct>', 'add this to the pieces, in place of every assumed loss', amount(0, 500, 'per cent'))
    .option('--cup-loss <g>', 'what stays in the cup, once a batch', amount(0, 1000, 'g'))
    .option(...assumeOption)
    .option('--temp <C>', 'temperature of the room, for the pot life', amount(0, 45, '°C'))
    .option('--cup <ml,…>', 'cups at hand', cups)
    .option('--scale-step <g>', "the scale's step (0.1 g from 10 g on, 0.01 g below)", amount(0.001, 5, 'g'))
    .option('--scale-max <g>', 'the most the scale carries', amount(10, 100_000, 'g'))
    .option('--vacuum', 'the mix goes under vacuum: a quarter of the cup, 5 minutes more')
    .option('--lacquer <name>', 'the barrier lacquer, of the shelf')
    .option('--film <um>', 'dry barrier film', amount(1, 500, 'µm'))
    .option('--thinner <parts>', 'parts of thinner to 1 of lacquer, by volume', amount(0, 20, ''))
    .option('--transfer <pct>', 'solids that land, of those sprayed', amount(1, 100, 'per cent'))
    .option('--airbrush-cup <ml>', "the gun's cup (7)", amount(0.5, 1000, 'ml'))
    .option('--room <m3>', 'the room that is sprayed in', amount(1, 100_000, 'm³'))
    .option('--air-changes <n>', 'its air changes an hour (0)', amount(0, 200, 'an hour'))
    .option('--log <folder>', 'use the losses that the log of this job folder shows')
    .option('--despite <CODE,…>', 'go on in spite of a stop finding', words)
    .option('--split', 'part pits that a channel joins at its narrowest place')
    .addOption(unitOption());
}

/** The plan that the options ask for, and the surveys it was made from. */
export async function planFiles(
  files: readonly string[],
  flags: PlanFlags,
  io: Io,
): Promise<{ document: MixDocument; surveys: SurveyDocument[] }> {
  checkTogether(files, flags);
  const { planMix } = await import('../src/fill/mix.js');
  const shelf = await shelfOf(flags.shelf, io);
  const recipe = await recipeOf(flags, shelf);
  const { plates, surveys } = await platesOf(files, flags, recipe, io);
  const document = planMix(plates, {
    recipes: [recipe],
    way: flags.way,
    fills: flags.fills,
    wants: flags.want?.map(({ name, value }) => ({ name, count: value })),
    only: flags.only,
    overfillPct: flags.overfill,
    cupLossG: flags.cupLoss,
    assume: { ...shelf?.assume, ...flags.assume },
    roomC: flags.temp,
    cupsMl: flags.cup,
    scale: { stepG: flags.scaleStep, maxG: flags.scaleMax },
    degassed: flags.vacuum ?? false,
    barrier: await barrierOf(flags, shelf),
    room: flags.room === undefined ? undefined : { volumeM3: flags.room, airChangesPerH: flags.airChanges ?? 0 },
    mastersLeftG: Object.fromEntries((shelf?.masters ?? []).map(({ name, leftG }) => [name, leftG])),
    learned: await learnedOf(flags, io),
    despite: flags.despite,
  });
  return { document, surveys };
}

async function platesOf(
  files: readonly string[],
  flags: PlanFlags,
  recipe: Recipe,
  io: Io,
): Promise<{ plates: PlateLoad[]; surveys: SurveyDocument[] }> {
  const { plateFromSurvey, plateFromWeights } = await import('../src/fill/plate-load.js');
  if (flags.weights !== undefined) {
    const weights = flags.weights.map(({ name, value }) => ({ name, massG: value }));
    return { plates: [plateFromWeights(weights, recipe.densityGPerMl)], surveys: [] };
  }
  const { surveyOf } = await import('./read-plates.js');
  const surveys: SurveyDocument[] = [];
  const options = {
    edges: edgesOf(recipe, flags.way),
    ...(flags.unit !== undefined && { unit: flags.unit }),
    split: flags.split,
  };
  for (const file of files) surveys.push(await surveyOf(file, options, io));
  return { plates: surveys.map(plateFromSurvey), surveys };
}

async function learnedOf({ log, way }: PlanFlags, io: Io): Promise<LearnedLosses | undefined> {
  if (log === undefined) return undefined;
  const [{ loadLog }, { learnedFor, learnLosses }] = await Promise.all([
    import('./log-file.js'),
    import('../src/fill/log/learn.js'),
  ]);
  return learnedFor(way, learnLosses(await loadLog(log, io))) ?? {};
}

/** The barrier as the options change the typical one; undefined where nothing is said. */
async function barrierOf(flags: PlanFlags, shelf: Shelf | undefined): Promise<BarrierSpec | undefined> {
  const { lacquer, film: filmUm, thinner: thinnerParts, transfer: transferPct, airbrushCup: airbrushCupMl } = flags;
  const choice = { lacquer, filmUm, thinnerParts, transferPct, airbrushCupMl };
  if (Object.values(choice).every((value) => value === undefined)) return undefined;
  const { chooseBarrier } = await import('../src/fill/choose-barrier.js');
  return chooseBarrier(choice, shelf);
}

/** Options that contradict each other. */
function checkTogether(files: readonly string[], flags: PlanFlags): void {
  const fault = (code: string, message: string, remedy: string) => new Fault({ code, kind: 'usage', message, remedy });
  if (files.length === 0 && flags.weights === undefined) {
    throw fault(
      'nothing-to-plan',
      'No plate is named.',
      'Name a mesh or a saved survey, or give --weights NAME=GRAMS.',
    );
  }
  if (files.length > 0 && flags.weights !== undefined) {
    throw fault('file-and-weights', 'A file and --weights exclude each other.', 'Give one of the two.');
  }
  if (flags.fills !== undefined && flags.want !== undefined) {
    throw fault('fills-and-want', '--fills and --want exclude each other.', 'Give one of the two.');
  }
}
