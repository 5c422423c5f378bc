import { InvalidArgumentError, Option } from 'commander';
import type { LengthUnit } from '../src/base/units.js';

/** Options that several commands share, and the ways to read them. */

/** Collects an option that may be given more than once. */
export function collect(text: string, before: readonly string[] = []): string[] {
  return [...before, text];
}

const unitNames: Record<string, LengthUnit> = {
  ...{ mm: 'mm', millimetre: 'mm', millimeter: 'mm', cm: 'cm', centimetre: 'cm', centimeter: 'cm' },
  ...{
    m: 'm',
    metre: 'm',
    meter: 'm',
    in: 'in',
    inch: 'in',
    inches: 'in',
    '"': 'in',
    ft: 'ft',
    foot: 'ft',
    feet: 'ft',
  },
  ...{ um: 'um', µm: 'um', μm: 'um', micron: 'um', microns: 'um', micrometre: 'um', micrometer: 'um' },
};

export function lengthUnit(text: string): LengthUnit {
  const name = text.toLowerCase();
  const unit = Object.hasOwn(unitNames, name) ? unitNames[name] : undefined;
  if (unit === undefined) throw new InvalidArgumentError('Allowed are mm, cm, m, in, ft, um.');
  return unit;
}

const roles = ['piece', 'key', 'gutter', 'mark'] as const;
export type Role = (typeof roles)[number];

/** `4=key` or `4=key,mark2=piece`, given once or more: a cavity's number, or the name of a hollow that was left out. */
export function roleOf(text: string, before: Readonly<Record<string, Role>> = {}): Record<string, Role> {
  const read = { ...before };
  for (const entry of text.split(',')) {
    const [, hollow, role] = /^\s*([a-z]*[1-9]\d{0,5})\s*=\s*([a-z]+)\s*$/i.exec(entry) ?? [];
    const known = roles.find((name) => name === role?.toLowerCase());
    if (hollow === undefined || known === undefined)
      throw new InvalidArgumentError('Write a hollow and piece, key, gutter or mark: 4=key, mark2=piece.');
    read[hollow.toLowerCase()] = known;
  }
  return read;
}

export const unitOption = (): Option =>
  new Option('--unit <unit>', "the file's unit: mm, cm, m, in, ft or um; needed where it cannot be told").argParser(
    lengthUnit,
  );
