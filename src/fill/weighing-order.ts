import type { PartKind } from './mix-document.js';

/** A part of a mix and its mass, in grams or as a share. */
export interface OrderedPart {
  readonly part: string;
  readonly kind: PartKind;
  readonly mass: number;
}

export function isTint(kind: PartKind): boolean {
  return kind === 'pigment' || kind === 'flock';
}

export function isTinted(parts: readonly { kind: PartKind }[]): boolean {
  return parts.some(({ kind }) => isTint(kind));
}

/** What the part is called that holds the colour. */
export function tintedName(tintInto: 'A' | 'B'): string {
  return `${tintInto}, tinted`;
}

/** What is poured into the cup in one go: one part, or the tinted one with its colour. */
export interface Pour {
  readonly part: string;
  readonly mass: number;
  readonly holds: readonly OrderedPart[];
}

/**
 * The parts in the order of weighing: colour is in one part beforehand and is weighed with it; then softener and
 * thinner, and the other part last, since the clock starts with it. Without colour: A, softener and thinner, B.
 */
export function weighingOrder(parts: readonly OrderedPart[], tintInto: 'A' | 'B'): Pour[] {
  const tinted = isTinted(parts);
  const first = tinted ? tintInto : 'A';
  const pick = (keep: (kind: PartKind) => boolean) => parts.filter(({ kind, mass }) => keep(kind) && mass > 0);
  const alone = (part: OrderedPart): Pour => ({ part: part.part, mass: part.mass, holds: [part] });
  const holds = [...pick((kind) => kind === first), ...pick(isTint)];
  const mass = holds.reduce((sum, part) => sum + part.mass, 0);
  return [
    { part: tinted ? tintedName(tintInto) : first, mass, holds },
    ...pick((kind) => kind === 'softener' || kind === 'thinner').map(alone),
    ...pick((kind) => (kind === 'A' || kind === 'B') && kind !== first).map(alone),
  ];
}
