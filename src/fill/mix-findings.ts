import type { Batch } from './batches.js';
import type { FillKind } from './choose-fills.js';
import type { BatchEntry, MixFinding } from './mix-document.js';
import type { PlateLoad } from './plate-load.js';
import { potLifeAt } from './pot-life.js';
import { type Recipe, shareOf } from './recipe.js';
import { densityFromParts } from './silicone.js';
import { explosiveShare, type VapourEntry } from './vapour.js';

/** The surveys' own findings. */
export function surveyFindings(plates: readonly PlateLoad[]): MixFinding[] {
  return plates.flatMap(({ findings }, plate) => findings.map((finding): MixFinding => ({ ...finding, plate })));
}

/** A stop that the person overrides stays in the list, as a caution that says so. */
export function overridden(finding: MixFinding, despite: readonly string[]): MixFinding {
  if (finding.severity !== 'stop' || !despite.includes(finding.code)) return finding;
  return { ...finding, severity: 'caution', message: `Overridden with --despite: ${finding.message}` };
}

/** Pieces that were to be filled and have no volume: the plan holds nothing for them. */
export function unmeasuredFindings(kinds: readonly FillKind[]): MixFinding[] {
  return kinds.flatMap(({ plate, pieces }) =>
    pieces
      .filter((piece) => piece.volumeMm3 === null)
      .map(
        (piece): MixFinding => ({
          code: 'volume-missing',
          severity: 'stop',
          plate,
          cavity: piece.number,
          message: 'It has no volume that can be trusted, or the barrier film fills it: the plan holds nothing for it.',
        }),
      ),
  );
}

/** A stated density of the mix that its parts contradict by more than this is worth a look at the data sheet. */
const densityLimit = 0.01;
/** Colour that starts to disturb cure and strength (common practice, no source). */
const tintLimits = { pigmentPct: 3, flockPct: 1 } as const;

export function recipeFindings(recipe: Recipe, roomC: number | undefined, degassed: boolean): MixFinding[] {
  const { silicone, name } = recipe;
  const findings: MixFinding[] = [];
  const add = (severity: MixFinding['severity'], code: string, message: string) =>
    findings.push({ code, severity, message });
  if (silicone.typical) {
    add('note', 'typical-material', `'${name}' has typical figures, not your material's: give the data sheet's.`);
  }
  const { densityMixGPerMl: stated } = silicone;
  const fromParts = densityFromParts(silicone);
  if (stated !== undefined && Math.abs(stated / fromParts - 1) > densityLimit) {
    const figures = `${stated} g/ml stated, ${fromParts.toFixed(3)} g/ml from A and B`;
    add('caution', 'densities-disagree', `The densities of '${name}' disagree (${figures}): look at the data sheet.`);
  }
  const pigment = 100 * shareOf(recipe, 'pigment');
  const flock = 100 * shareOf(recipe, 'flock');
  if (pigment > tintLimits.pigmentPct) {
    add('caution', 'much-pigment', `'${name}' holds ${pigment.toFixed(1)} % pigment: over 3 % test the cure first.`);
  }
  if (flock > tintLimits.flockPct) {
    add(
      'caution',
      'much-flock',
      `'${name}' holds ${flock.toFixed(1)} % flock: over 1 % it thickens; test a cup first.`,
    );
  }
  if (degassed && recipe.additives.some(({ additive }) => additive.volatile)) {
    add('stop', 'solvent-under-vacuum', `'${name}' holds a thinner that flashes off: never vacuum it. Mix without.`);
  }
  if (silicone.shrinkagePct) {
    const { shrinkagePct: linear } = silicone;
    const volume = 100 * (1 - (1 - linear / 100) ** 3);
    const size = `${linear} % shorter than its cavity (${volume.toFixed(1)} % of the volume)`;
    add('note', 'shrinkage', `A cured piece of '${name}' is ${size}; the plan adds nothing for it.`);
  }
  add('note', 'pot-life', potLifeText(recipe, roomC));
  return findings;
}

function potLifeText(recipe: Recipe, roomC: number | undefined): string {
  const potLife = potLifeAt(recipe.silicone, roomC);
  if (potLife === undefined) return `The pot life of '${recipe.name}' is not known: no batch is held against it.`;
  const { minutes, rangeMinutes, atC, from } = potLife;
  const figure = `'${recipe.name}' has a pot life of ${minutes.toFixed(0)} min at ${atC} °C`;
  if (from === 'data sheet') {
    const assumed = roomC === undefined ? '; the room is taken to be as warm' : '';
    return `${figure} (as stated${assumed}). 70 % of it is used.`;
  }
  if (from === 'two data-sheet points') return `${figure} (from two data-sheet points). 70 % of it is used.`;
  const [low, high] = rangeMinutes.map((value) => value.toFixed(0));
  return `${figure}, perhaps ${low} to ${high}: it halves per 10 °C, a rule for epoxy. Try a cup. 70 % of it is used.`;
}

/** Under this the scale's step and what clings to the stick weigh too much (common practice, no source). */
const smallMixG = 20;

const broken = {
  cup: 'does not fit into the largest cup: name a larger one',
  scale: 'is more than the scale carries: use a larger scale, or weigh the parts in two goes',
  'pot life': 'gels before its plate is scraped: use a slower material, a cooler room or more hands',
} as const;

export function batchFindings(batches: readonly Batch[], entries: readonly BatchEntry[]): MixFinding[] {
  const findings = batches.flatMap(({ breaks, minutes }, index) =>
    breaks.map((what): MixFinding => {
      const label = batches.length > 1 ? `Batch ${index + 1}` : 'The batch';
      const message = `${label} (${entries[index]!.totalG} g, ${minutes} min) ${broken[what]}.`;
      return { code: `over-${what.replace(' ', '-')}`, severity: 'stop', message };
    }),
  );
  const small = entries.filter(({ totalG }) => totalG < smallMixG);
  if (small.length === 0) return findings;
  const least = small.reduce((a, b) => (b.totalG < a.totalG ? b : a));
  const which = entries.length === 1 ? 'The batch is' : `${small.length} of ${entries.length} batches are`;
  const error = `the scale's step may put A to B ${least.ratioErrorPct.toFixed(1)} % off`;
  const message = `${which} under ${smallMixG} g (${least.totalG} g; ${error}): weigh to 0.01 g, or mix more and cast a test disc.`;
  return [...findings, { code: 'small-mix', severity: 'caution', message }];
}

export function vapourFindings(vapour: VapourEntry): MixFinding[] {
  const findings: MixFinding[] = [];
  const ppm = (value: number) => `${Math.round(value)} ppm`;
  const [near, most] = vapour.breathingZonePpm;
  const limit = `${vapour.lowestLimitName} ${vapour.lowestLimitPpm} ppm`;
  if (vapour.ofLowerExplosivePct >= 100 * explosiveShare) {
    const share = `${vapour.ofLowerExplosivePct.toFixed(0)} % of the lower explosive limit`;
    const message = `All the ${vapour.solvent} in this room comes to ${share}: do not spray here; use a booth or outdoors.`;
    findings.push({ code: 'vapour-explosive', severity: 'stop', message });
  }
  if (most > vapour.lowestLimitPpm) {
    const message = `Where you breathe it may come to ${ppm(near)} to ${ppm(most)} of ${vapour.solvent} (${limit}): spray in a booth with extraction and wear the respirator.`;
    findings.push({ code: 'vapour-over-limit', severity: 'caution', message });
  }
  findings.push({
    code: 'vapour-estimate',
    severity: 'note',
    message:
      'The vapour figures are for one well-mixed room: they know nothing of the plume, the open cup and the floor, where vapour sinks. Limits differ by country.',
  });
  return findings;
}

export const typicalBarrierNote: MixFinding = {
  code: 'typical-barrier',
  severity: 'note',
  message: "The barrier's film, solids, thinning and transfer are typical figures: give those of your lacquer and gun.",
};

export const roomUnknown: MixFinding = {
  code: 'room-unknown',
  severity: 'note',
  message: 'The vapour was not reckoned: give the room with --room M3 and --air-changes N.',
};
