import type { WayOfCasting } from './allowances.js';
import type { Assumptions } from './assumptions.js';
import type { Batch } from './batches.js';
import type { FillKind } from './choose-fills.js';
import type { BatchEntry, MasterEntry, MixFinding } from './mix-document.js';
import type { PlateLoad } from './plate-load.js';
import { potLifeAt } from './pot-life.js';
import { type Recipe, shareOf } from './recipe.js';
import { type Scale, stepG } from './scale.js';
import { densityFromParts, volumeShrinkagePct } from './silicone.js';
import { explosiveShare, type VapourEntry } from './vapour.js';

/** What a survey says of an edge only where nothing but silicone carries it. */
const straightOnly: readonly string[] = ['thin-edge'];

/** The surveys' own findings. A survey that was judged for straight casting finds fault with edges that a barrier carries. */
export function surveyFindings(plates: readonly PlateLoad[], way: WayOfCasting): MixFinding[] {
  return plates.flatMap(({ findings }, plate) => {
    const own = findings.map((finding): MixFinding => ({ ...finding, plate }));
    const kept = way === 'straight' ? own : own.filter(({ code }) => !straightOnly.includes(code));
    if (kept.length === own.length) return own;
    const message =
      'The survey was judged for straight casting; its thin edges are left out, since a barrier carries them. Survey again with --way encapsulated for the rest.';
    return [...kept, { code: 'way-differs', severity: 'note' as const, message }];
  });
}

const overrideWords = 'Overridden with --despite: ';

/** A stop that the person overrides stays in the list, as a caution that says so. */
export function overridden(finding: MixFinding, despite: readonly string[]): MixFinding {
  if (finding.severity !== 'stop' || !despite.includes(finding.code)) return finding;
  return { ...finding, severity: 'caution', message: `${overrideWords}${finding.message}` };
}

/** A finding as it was before it was overridden. */
export function asBefore(finding: MixFinding): MixFinding {
  return finding.message.startsWith(overrideWords) ? { ...finding, severity: 'stop' } : finding;
}

/** Codes behind `--despite` that no stop has: perhaps mistyped. */
export function unusedDespite(findings: readonly MixFinding[], despite: readonly string[]): MixFinding[] {
  const stops = new Set(findings.filter(({ severity }) => severity === 'stop').map(({ code }) => code));
  return despite
    .filter((code) => !stops.has(code))
    .map((code): MixFinding => {
      const message = `'${code}' is to be overridden, but no stop has that code.`;
      return { code: 'despite-unused', severity: 'note', message };
    });
}

/** Figures that pieces weighed once do not have, and what the plan leaves out for want of them. */
export function unknownAreaFindings(
  kinds: readonly FillKind[],
  plates: readonly PlateLoad[],
  way: WayOfCasting,
): MixFinding[] {
  const pieces = kinds.flatMap((kind) => kind.pieces);
  if (way === 'encapsulated') {
    const bare = new Set(pieces.filter(({ wallAreaMm2, rimLengthMm }) => wallAreaMm2 === null || rimLengthMm === null));
    if (bare.size === 0) return [];
    const which = bare.size === new Set(pieces).size ? 'any piece' : `${bare.size} of the pieces`;
    const message = `The area of ${which} is not known: the barrier, its solvent and the room its film takes are not reckoned for it. Survey the mould.`;
    return [{ code: 'barrier-area-unknown', severity: 'caution', message }];
  }
  const unswept = kinds.some(({ plate, pieces: own }) => {
    return plates[plate]!.landAreaMm2 === null && own.some(({ flashAreaMm2 }) => flashAreaMm2 === null);
  });
  if (!unswept) return [];
  const message = 'The land is not known: nothing is added for what the scraper leaves on it. Add it with --overfill.';
  return [{ code: 'land-unknown', severity: 'note', message }];
}

export const nothingLearned: MixFinding = {
  code: 'nothing-learned',
  severity: 'note',
  message: 'The log does not show the losses yet: the assumed ones are used. plateful log learn says why.',
};

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

export function recipeFindings(
  recipe: Recipe,
  roomC: number | undefined,
  degassed: boolean,
  assume: Assumptions,
): MixFinding[] {
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
  if (pigment > assume.pigmentLimitPct) {
    const over = `over ${assume.pigmentLimitPct} % test the cure first`;
    add('caution', 'much-pigment', `'${name}' holds ${pigment.toFixed(1)} % pigment: ${over}.`);
  }
  if (flock > assume.flockLimitPct) {
    const over = `over ${assume.flockLimitPct} % it thickens; test a cup first`;
    add('caution', 'much-flock', `'${name}' holds ${flock.toFixed(1)} % flock: ${over}.`);
  }
  if (degassed && recipe.additives.some(({ additive }) => additive.volatile)) {
    add('stop', 'solvent-under-vacuum', `'${name}' holds a thinner that flashes off: never vacuum it. Mix without.`);
  }
  if (silicone.shrinkagePct) {
    const { shrinkagePct: linear } = silicone;
    const [long, loss] = [Number((100 - linear).toFixed(3)), volumeShrinkagePct(linear).toFixed(1)];
    const size = `${linear} % shorter than its cavity: 100 mm come out as ${long} mm (${loss} % of the volume)`;
    add('note', 'shrinkage', `A cured piece of '${name}' is ${size}; the plan adds nothing for it.`);
  }
  add('note', 'pot-life', potLifeText(recipe, roomC, assume));
  return findings;
}

function potLifeText(recipe: Recipe, roomC: number | undefined, assume: Assumptions): string {
  const potLife = potLifeAt(recipe.silicone, roomC, assume.potLifeFactor);
  const used = `${assume.potLifeUsedPct} % of it is used.`;
  if (potLife === undefined) return `The pot life of '${recipe.name}' is not known: no batch is held against it.`;
  const { minutes, rangeMinutes, atC, from } = potLife;
  const figure = `'${recipe.name}' has a pot life of ${minutes.toFixed(0)} min at ${atC} °C`;
  if (from === 'data sheet') {
    const assumed = roomC === undefined ? '; the room is taken to be as warm' : '';
    return `${figure} (as stated${assumed}). ${used}`;
  }
  if (from === 'two data-sheet points') return `${figure} (from two data-sheet points). ${used}`;
  const [low, high] = rangeMinutes.map((value) => value.toFixed(0));
  const rule = assume.potLifeFactor === 2 ? 'it halves' : `it falls ${assume.potLifeFactor} times`;
  return `${figure}, perhaps ${low} to ${high}: ${rule} per 10 °C, a rule for epoxy. Try a cup. ${used}`;
}

const broken = {
  cup: 'does not fit into the largest cup: name a larger one',
  scale: 'is more than the scale carries: use a larger scale, or weigh the parts in two goes',
  'pot life': 'gels before its plate is scraped: use a slower material, a cooler room or more hands',
} as const;

export function batchFindings(
  batches: readonly Batch[],
  entries: readonly BatchEntry[],
  { smallMixG }: Assumptions,
): MixFinding[] {
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

/** A part of a master under so many of the scale's steps is tinted by chance. */
const fewestSteps = 10;

export function masterFindings(masters: readonly MasterEntry[], scale: Scale | undefined): MixFinding[] {
  return masters.flatMap(({ name, recipe }) =>
    recipe
      .filter(({ massG }) => massG > 0 && massG < fewestSteps * stepG(massG, scale))
      .map(({ part, massG, drops }): MixFinding => {
        const count = drops === undefined ? 'weigh it on a finer scale' : `count ${drops} drops`;
        const message = `'${part}' in '${name}' is ${massG} g, under ten of the scale's steps: ${count}, or tint more at once.`;
        return { code: 'small-part', severity: 'caution', message };
      }),
  );
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
