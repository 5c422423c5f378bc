import { Fault } from '../../base/fault.js';
import type { SurveyDocument } from '../../base/survey-document.js';
import type { BarrierSpec } from '../../fill/barrier.js';
import { chooseBarrier } from '../../fill/choose-barrier.js';
import { chooseRecipe } from '../../fill/choose-recipe.js';
import { edgesOf } from '../../fill/edges-of.js';
import { readLog } from '../../fill/log/entry.js';
import { learnedFor, learnLosses } from '../../fill/log/learn.js';
import { type MixOptions, planMix } from '../../fill/mix.js';
import type { MixDocument } from '../../fill/mix-document.js';
import { plateFromSurvey } from '../../fill/plate-load.js';
import type { Recipe } from '../../fill/recipe.js';
import type { Shelf } from '../../fill/shelf/shelf.js';
import type { EdgeSettings } from '../../measure/edge-settings.js';
import type { MixForm, ShownFault } from '../state.js';

/** What may be typed into a field of the mix form: limits as on the command line. */
export const limits = {
  density: { least: 0.5, most: 3 },
  ratioPart: { least: 0.001, most: 1000 },
  fills: { least: 1, most: 10_000 },
  overfillPct: { least: 0, most: 500 },
  cupLossG: { least: 0, most: 1000 },
  want: { least: 0, most: 10_000 },
  roomC: { least: 0, most: 45 },
  scaleStepG: { least: 0.001, most: 5 },
  scaleMaxG: { least: 10, most: 100_000 },
  filmUm: { least: 1, most: 500 },
  thinnerParts: { least: 0, most: 20 },
  transferPct: { least: 1, most: 100 },
  roomM3: { least: 1, most: 100_000 },
  airChanges: { least: 0, most: 200 },
} as const;

/** A number as people type it: a comma is a decimal point; empty is none. NaN where it is no number. */
export function typedNumber(text: string): number | undefined {
  const trimmed = text.trim();
  if (trimmed === '') return undefined;
  return /^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/.test(trimmed) ? Number(trimmed.replace(',', '.')) : Number.NaN;
}

function within(text: string, { least, most }: { least: number; most: number }, what: string): number | undefined {
  const value = typedNumber(text);
  if (value === undefined || (value >= least && value <= most)) return value;
  throw new Fault({
    code: 'field-value',
    kind: 'usage',
    message: `${what} cannot be '${text.slice(0, 20)}'.`,
    remedy: `It must be a number from ${least} to ${most}.`,
  });
}

/** The material that the form names. @throws Fault `field-value`, `material-unknown` */
function recipeOf(form: MixForm, shelf: Shelf | null): Recipe {
  const a = within(form.ratioA, limits.ratioPart, 'Parts of A');
  const b = within(form.ratioB, limits.ratioPart, 'Parts of B');
  const ratio = a !== undefined && b !== undefined ? ([a, b] as const) : undefined;
  return chooseRecipe(
    {
      ...(form.material !== '' && { name: form.material }),
      ...(ratio !== undefined && { ratio, ratioBy: form.ratioBy }),
      densityGPerMl: within(form.density, limits.density, 'The density'),
    },
    shelf ?? undefined,
  );
}

/** What the edges of a piece cast in this mix are judged by; null while the form holds no material that is understood. */
export function edgesFromForm(form: MixForm, shelf: Shelf | null): EdgeSettings | null {
  try {
    return edgesOf(recipeOf(form, shelf), form.way);
  } catch (error) {
    shownFault(error);
    return null;
  }
}

/** The options of a plan, as the form holds them. @throws Fault `field-value` */
export function mixOptions(form: MixForm, survey: SurveyDocument, shelf: Shelf | null, logText = ''): MixOptions {
  const recipe = recipeOf(form, shelf);
  const wants = Object.entries(form.wants)
    .map(([name, text]) => ({ name, count: Math.round(within(text, limits.want, `How many of ${name}`) ?? 0) }))
    .filter(({ name, count }) => count > 0 && survey.cavities.some((cavity) => cavity.name === name));
  const only = survey.cavities.map(({ number }) => number).filter((number) => !form.left.includes(number));
  const roomM3 = within(form.roomM3, limits.roomM3, 'The room');
  const airChanges = within(form.airChanges, limits.airChanges, 'Air changes');
  return {
    recipes: [recipe],
    way: form.way,
    ...(wants.length > 0 ? { wants } : { fills: Math.round(within(form.fills, limits.fills, 'Fills') ?? 1) }),
    ...(form.left.length > 0 && { only: only.map(String) }),
    overfillPct: within(form.overfillPct, limits.overfillPct, 'Overfill'),
    cupLossG: within(form.cupLossG, limits.cupLossG, 'What stays in the cup'),
    roomC: within(form.roomC, limits.roomC, 'The temperature'),
    degassed: form.vacuum,
    scale: {
      stepG: within(form.scaleStepG, limits.scaleStepG, "The scale's step"),
      maxG: within(form.scaleMaxG, limits.scaleMaxG, 'What the scale carries'),
    },
    barrier: barrierOf(form, shelf),
    room: roomM3 === undefined ? undefined : { volumeM3: roomM3, airChangesPerH: airChanges ?? 0 },
    mastersLeftG: Object.fromEntries((shelf?.masters ?? []).map(({ name, leftG }) => [name, leftG])),
    learned: logText === '' ? undefined : (learnedFor(form.way, learnLosses(readLog(logText))) ?? {}),
    despite: form.despite,
    assume: shelf?.assume,
  };
}

/** The barrier as the form changes the typical one; undefined where nothing is typed. */
function barrierOf(form: MixForm, shelf: Shelf | null): BarrierSpec | undefined {
  const filmUm = within(form.filmUm, limits.filmUm, 'The film');
  const thinnerParts = within(form.thinnerParts, limits.thinnerParts, 'Parts of thinner');
  const transferPct = within(form.transferPct, limits.transferPct, 'What lands');
  const lacquer = shelf?.lacquers[0]?.name;
  if ((filmUm ?? thinnerParts ?? transferPct ?? lacquer) === undefined) return undefined;
  return chooseBarrier({ lacquer, filmUm, thinnerParts, transferPct }, shelf ?? undefined);
}

/** A fault as the page shows it. @throws what is no fault: our own mistake */
export function shownFault(error: unknown): ShownFault {
  if (!(error instanceof Fault)) throw error;
  const { code, message, where, remedy, file } = error;
  return { code, message, where, remedy, file };
}

/** The plan that the form asks for, or why there is none. */
export function planFromForm(
  form: MixForm,
  survey: SurveyDocument,
  shelf: Shelf | null,
  logText = '',
): { mix: MixDocument | null; fault: ShownFault | null } {
  try {
    return { mix: planMix([plateFromSurvey(survey)], mixOptions(form, survey, shelf, logText)), fault: null };
  } catch (error) {
    return { mix: null, fault: shownFault(error) };
  }
}
