import { Sum } from '../base/sum.js';
import { sweptLandMm2 } from './allowances.js';
import type { FillKind } from './choose-fills.js';
import type { DoseOptions } from './doses.js';
import type { CavityEntry, FillEntry, MaterialEntry } from './mix-document.js';
import { type Piece, type PlateLoad, siliconeMl } from './plate-load.js';
import { potLifeAt } from './pot-life.js';
import type { Recipe } from './recipe.js';
import { isTinted } from './weighing-order.js';

export function materialEntry(recipe: Recipe, roomC: number | undefined, potLifeFactor: number): MaterialEntry {
  const { silicone } = recipe;
  const potLife = potLifeAt(silicone, roomC, potLifeFactor);
  return {
    name: recipe.name,
    ratioBy: silicone.ratioBy,
    ratio: [...silicone.ratio],
    densityGPerMl: recipe.densityGPerMl,
    typical: silicone.typical,
    parts: recipe.portions.map(({ part, kind, share, densityGPerMl }) => ({
      part,
      kind,
      sharePct: 100 * share,
      densityGPerMl,
    })),
    tintInto: isTinted(recipe.portions) ? recipe.tintInto : null,
    potLife: potLife === undefined ? null : { ...potLife, rangeMinutes: [...potLife.rangeMinutes] },
  };
}

/** Lowest and highest mass of some pieces together; the doubts are added up, since they may share a cause. */
function massRangeG(pieces: readonly Piece[], densityGPerMl: number): [number, number] {
  const sum = (sign: number) =>
    pieces.reduce((total, piece) => total + Math.max(0, siliconeMl(piece) + (sign * piece.doubtMm3) / 1000), 0);
  return [sum(-1) * densityGPerMl, sum(1) * densityGPerMl];
}

export function cavityEntries(kinds: readonly FillKind[], { recipes, materialOf }: DoseOptions): CavityEntry[] {
  const entries = new Map<string, CavityEntry>();
  for (const { plate, pieces } of kinds) {
    for (const piece of pieces) {
      const material = materialOf(plate, piece);
      const { densityGPerMl, portions } = recipes[material]!;
      const massG = siliconeMl(piece) * densityGPerMl;
      entries.set(`${plate}:${piece.number}`, {
        plate,
        number: piece.number,
        name: piece.name,
        material,
        volumeMl: siliconeMl(piece),
        massG,
        massRangeG: massRangeG([piece], densityGPerMl),
        partsG: portions.map(({ part, share }) => ({ part, massG: massG * share })),
      });
    }
  }
  return [...entries.values()].toSorted((a, b) => a.plate - b.plate || a.number - b.number);
}

/** One entry for each choice of cavities and each material in it. */
export function fillEntries(
  kinds: readonly FillKind[],
  plates: readonly PlateLoad[],
  { recipes, materialOf }: DoseOptions,
): FillEntry[] {
  const entries = new Map<string, FillEntry>();
  for (const { plate, pieces, count } of kinds) {
    const fillMl = pieces.reduce((sum, piece) => sum + siliconeMl(piece), 0);
    for (const material of new Set(pieces.map((piece) => materialOf(plate, piece)))) {
      const own = pieces.filter((piece) => materialOf(plate, piece) === material);
      const key = `${plate}:${material}:${own.map(({ number }) => number)}`;
      const before = entries.get(key);
      if (before !== undefined) {
        before.count += count;
        continue;
      }
      const volume = new Sum();
      for (const piece of own) volume.add(siliconeMl(piece));
      const { densityGPerMl } = recipes[material]!;
      entries.set(key, {
        plate,
        material,
        volumeMl: volume.value,
        massG: volume.value * densityGPerMl,
        massRangeG: massRangeG(own, densityGPerMl),
        sweptMm2: (sweptLandMm2(pieces, plates[plate]!) * volume.value) / fillMl,
        cavities: own.map(({ number }) => number),
        count,
      });
    }
  }
  return [...entries.values()];
}
