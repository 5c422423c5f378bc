import { plainText } from '../base/plain-text.js';
import type { BatchEntry, MaterialEntry, MixDocument } from '../fill/mix-document.js';
import { assumedWords } from './assumed-text.js';
import { type Display, type DisplayUnits, displayUnits, rangeOrDash } from './display-units.js';
import { fixed } from './figures.js';
import { findingLines } from './findings-text.js';
import { noPaint, type Paint } from './paint.js';
import { barrierFacts, factLines, vapourFacts } from './spray-text.js';
import { type Column, labelled, table, wrap } from './table.js';

export interface MixTextOptions {
  /** Places a line may take; 80 where not given. */
  readonly width?: number;
  readonly paint?: Paint;
  readonly display?: Display;
}

interface Style {
  readonly width: number;
  readonly paint: Paint;
  readonly units: DisplayUnits;
  readonly display: Display;
}

/** The mix document as a person reads it at the bench. */
export function mixText(document: MixDocument, options: MixTextOptions = {}): string {
  const { width = 80, paint = noPaint, display = 'metric' } = options;
  const style: Style = { width, paint, units: displayUnits[display], display };
  const blocks = [
    document.plates.flatMap(({ file, fills }) =>
      labelled('Plate', `${file === null ? 'pieces weighed once' : plainText(file)}, ${times(fills, 'fill')}`, width),
    ),
    document.materials.flatMap((material) => materialLines(material, width)),
    ...mixBlocks(document, style),
  ];
  return `${blocks
    .filter((block) => block.length > 0)
    .map((block) => block.join('\n'))
    .join('\n\n')}\n`;
}

/** Everything below the head: pieces, losses, batches, barrier, air, findings, cautions. */
export function mixBlocks(document: MixDocument, style: Style): string[][] {
  const { width, paint } = style;
  const nameOf = (number: number) =>
    document.plates.length > 1 ? undefined : document.perCavity.find((entry) => entry.number === number)?.name;
  return [
    section('Each piece', pieceTable(document, style), style),
    section('Beyond the pieces, over the whole plan', allowanceTable(document, style), style),
    section(
      'Assumed (common practice, no source; yours with --assume)',
      wrap(assumedWords(document.assumptions), width),
      style,
    ),
    ...document.masters.map((master) => section(masterTitle(master, style), masterTable(master, style), style)),
    ...alikeBatches(document.batches).map((alike) =>
      section(batchTitle(document, alike, style), batchTable(document.batches[alike[0]!]!, style), style),
    ),
    section(
      'Barrier',
      document.barrier === null ? [] : factLines(barrierFacts(document.barrier, style.display), style),
      style,
    ),
    section(
      'Air in the room',
      document.vapour === null ? [] : factLines(vapourFacts(document.vapour, style.display), style),
      style,
    ),
    section('Findings', planFindings(document, { width, paint, nameOf }), style),
    section(
      'Cautions',
      document.cautions.flatMap((caution) => wrap(`- ${caution}`, width, 2)),
      style,
    ),
  ];
}

/**
 * What a plan must say of itself, and what stops or cautions of the survey; the survey's notes but for the unit are
 * counted, since the survey shows them.
 */
function planFindings({ findings }: MixDocument, options: Parameters<typeof findingLines>[1]): string[] {
  const isLeftOut = ({ plate, severity, code }: MixDocument['findings'][number]) =>
    plate !== undefined && severity === 'note' && !code.startsWith('unit');
  const leftOut = findings.filter(isLeftOut).length;
  const lines = findingLines(
    findings.filter((finding) => !isLeftOut(finding)),
    options,
  );
  if (leftOut === 0) return lines;
  const say = `${times(leftOut, 'note')} of the survey not repeated here: plateful survey FILE shows them.`;
  return [...lines, ...wrap(say, options.width)];
}

export function section(title: string, lines: readonly string[], { paint }: Pick<Style, 'paint'>): string[] {
  return lines.length === 0 ? [] : [paint.strong(title), ...lines];
}

export function times(count: number, what: string): string {
  return `${count} ${what}${count === 1 ? '' : 's'}`;
}

export function materialLines(material: MaterialEntry, width: number): string[] {
  const [a, b] = material.ratio;
  const typical = material.typical ? ' (typical figures, not your data sheet)' : '';
  const besides = material.parts.slice(2).map(({ part, sharePct }) => `${fixed(sharePct, 1)} % ${plainText(part)}`);
  const facts = [
    `${plainText(material.name)}; A:B ${a}:${b} by ${material.ratioBy}`,
    ...(besides.length === 0 ? [] : [`of the mix ${besides.join(', ')}`]),
    `${fixed(material.densityGPerMl, 3)} g/ml mixed${typical}`,
  ];
  return labelled('Material', facts.join('; '), width);
}

function pieceTable({ perCavity, perFill, plates, materials }: MixDocument, { width, units }: Style): string[] {
  const several = plates.length > 1;
  const mass = { head: ['mass', units.massUnit], align: 'right' as const };
  // The parts stand in the table where all pieces share one material; else the batches show them.
  const parts = materials.length > 1 ? [] : (perCavity[0]?.partsG.map(({ part }) => part) ?? []).slice(0, 3);
  const columns: Column[] = [
    ...(several ? [{ head: ['plate'], align: 'right' as const }] : []),
    { head: ['no'], align: 'right' },
    { head: ['piece'], least: 8 },
    { head: ['volume', units.volumeUnit], align: 'right' },
    mass,
    { head: ['range', units.massUnit], align: 'right' },
    ...parts.map((part) => ({ ...mass, head: [plainText(part).slice(0, 10), units.massUnit] })),
    ...(materials.length > 1 ? [{ head: ['material'], least: 8 }] : []),
  ];
  const lead = (plate: number) => (several ? [String(plate + 1)] : []);
  const tail = (material: number) => (materials.length > 1 ? [plainText(materials[material]!.name)] : []);
  const rows = perCavity.map((entry) => [
    ...lead(entry.plate),
    String(entry.number),
    plainText(entry.name),
    units.volume(entry.volumeMl),
    units.mass(entry.massG),
    rangeOrDash(entry.massRangeG, units),
    ...parts.map((_, i) => units.mass(entry.partsG[i]!.massG)),
    ...tail(entry.material),
  ]);
  const foot = perFill.map((fill) => [
    ...lead(fill.plate),
    '',
    `one fill of ${times(fill.cavities.length, 'piece')}`,
    units.volume(fill.volumeMl),
    units.mass(fill.massG),
    rangeOrDash(fill.massRangeG, units),
    ...parts.map((_, i) => units.mass((fill.massG * materials[fill.material]!.parts[i]!.sharePct) / 100)),
    ...tail(fill.material),
  ]);
  return table(columns, rows, { width, foot });
}

const sources = { option: 'as given', default: 'assumed', learned: 'learned from the log' };

function allowanceTable({ allowances }: MixDocument, { width, units }: Style): string[] {
  if (allowances.length === 0) return [];
  return table(
    [{ head: ['for'] }, { head: [units.massUnit], align: 'right' }, { head: ['from'] }],
    allowances.map(({ what, massG, from }) => [what, units.mass(massG), sources[from]]),
    { width },
  );
}

function masterTitle(
  { name, leftG, makeG, densityGPerMl }: MixDocument['masters'][number],
  { units, width }: Style,
): string {
  const left = leftG > 0 ? `, ${units.mass(leftG)} ${units.massUnit} left` : '';
  const make = `${units.mass(makeG)} ${units.massUnit} to make${left}, ${fixed(densityGPerMl, 3)} g/ml`;
  return wrap(`Tint beforehand: ${plainText(name)}, ${make}`, width).join('\n');
}

function masterTable({ recipe, makeG }: MixDocument['masters'][number], { width, units }: Style): string[] {
  if (makeG === 0) return [];
  return table(
    [
      { head: ['part'], least: 10 },
      { head: ['weigh', units.massUnit], align: 'right' },
      ...(recipe.some(({ drops }) => drops !== undefined) ? [{ head: ['drops'], align: 'right' as const }] : []),
    ],
    recipe.map(({ part, massG, drops }) => [
      plainText(part),
      units.mass(massG),
      drops === undefined ? '' : fixed(drops, 1),
    ]),
    { width },
  );
}

/** Indices of the batches that are weighed alike, each group once. */
export function alikeBatches(batches: readonly BatchEntry[]): number[][] {
  const groups = new Map<string, number[]>();
  batches.forEach(({ session: _, ...batch }, i) => {
    const key = JSON.stringify(batch);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [i]);
    else group.push(i);
  });
  return [...groups.values()];
}

/** `1, 3 to 5 and 9`. */
function numberList(indices: readonly number[]): string {
  const runs: [number, number][] = [];
  for (const i of indices) {
    const last = runs.at(-1);
    if (last !== undefined && last[1] === i - 1) last[1] = i;
    else runs.push([i, i]);
  }
  const words = runs.flatMap(([first, last]) => {
    if (last > first + 1) return [`${first + 1} to ${last + 1}`];
    return first === last ? [`${first + 1}`] : [`${first + 1}`, `${last + 1}`];
  });
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

/** What batches that are weighed alike are for: which fills, in which cup, how long it takes. */
export function batchTitle(
  document: MixDocument,
  alike: readonly number[],
  { units, width }: Pick<Style, 'units' | 'width'>,
): string {
  const { batches, materials, plates } = document;
  const { cupMl, fills, material, minutes, usableMinutes } = batches[alike[0]!]!;
  const each = alike.length > 1 ? ', each' : '';
  const number =
    batches.length > 1
      ? `Batch${alike.length > 1 ? 'es' : ''} ${numberList(alike)} of ${batches.length}${each}`
      : 'Weigh';
  const what = materials.length > 1 ? ` of ${plainText(materials[material]!.name)}` : '';
  const count = fills.reduce((sum, fill) => sum + fill.count, 0);
  const which = plates.length > 1 ? ` of plate ${[...new Set(fills.map(({ plate }) => plate + 1))].join(', ')}` : '';
  const limit = usableMinutes === null ? '' : ` of ${fixed(usableMinutes, 0)}`;
  const cup = units.massUnit === 'g' ? `${cupMl} ml` : `${units.volume(cupMl, 0)} US fl oz`;
  const title = `${number}${what}: for ${times(count, 'fill')}${which}, ${cup} cup, ${fixed(minutes, 0)}${limit} min`;
  return wrap(title, width).join('\n');
}

function batchTable({ parts, order, totalG, ratioErrorPct }: BatchEntry, { width, units }: Style): string[] {
  const running = order.map((_, i) => order.slice(0, i + 1).reduce((sum, part) => sum + part.massG, 0));
  const unpoured = new Set(parts.map(({ part }) => part).filter((part) => !order.some((one) => one.part === part)));
  // What is not poured by itself is in the tinted part.
  const tintedMl = parts.reduce((sum, { part, volumeMl }) => sum + (unpoured.has(part) ? volumeMl : 0), 0);
  const volumeOf = (name: string) => parts.find(({ part }) => part === name)?.volumeMl ?? tintedMl;
  return table(
    [
      { head: ['in this order'], least: 13 },
      { head: ['weigh', units.massUnit], align: 'right' },
      { head: ['scale shows', units.massUnit], align: 'right' },
      { head: ['volume', units.volumeUnit], align: 'right' },
    ],
    order.map(({ part, massG }, i) => {
      const volumeMl = volumeOf(part);
      return [plainText(part), units.mass(massG), units.mass(running[i]!), units.volume(volumeMl, 1)];
    }),
    { width, foot: [['all', units.mass(totalG), '', `A:B to ${fixed(ratioErrorPct, 1)} %`]] },
  );
}
