import type { BarrierEntry } from '../barrier.js';
import type { MixDocument } from '../mix-document.js';
import type { Recipe } from '../recipe.js';
import type { Additive, Lacquer, Shelf } from '../shelf/shelf.js';
import { massShares } from '../silicone.js';
import type { Lot, Stock } from '../stock.js';
import { addDays } from './calendar.js';
import { cheapestPacks, pricePerG } from './packs.js';
import type { MaterialNeed, MoneyPlan } from './plan-document.js';

/** Grams of one thing on one day. */
interface Use {
  readonly day: string;
  readonly massG: number;
}

/** One thing that is bought by itself, or the two parts of a silicone, which are bought together. */
interface Item {
  readonly what: string;
  readonly stock: Stock;
  /** Its share of a pack: 1, or the share of A or B. */
  readonly share: number;
  readonly uses: Use[];
}

export interface MoneyOptions {
  readonly currency: string;
  readonly deliveryDays: number;
  /** Day of each session of the mix. */
  readonly dayOfSession: readonly string[];
  readonly lacquer: Lacquer | undefined;
  /** The barrier of each session. */
  readonly sprays: readonly (Pick<BarrierEntry, 'lacquer' | 'solvent' | 'lacquerG' | 'thinnerG'> | undefined)[];
  /** Of the shelf: a thinner named like the solvent has its stock and price there. */
  readonly thinners: readonly Additive[];
}

/** What a plan uses, costs and leaves on the shelf, and what must be bought by when. */
export function planMoney(mix: MixDocument, recipes: readonly Recipe[], options: MoneyOptions): MoneyPlan {
  const groups = new Map<string, Item[]>();
  const item = (group: string, what: string, stock: Stock, share: number): Item => {
    const items = groups.get(group) ?? [];
    groups.set(group, items);
    const found = items.find((one) => one.what === what);
    if (found !== undefined) return found;
    const made: Item = { what, stock, share, uses: [] };
    items.push(made);
    return made;
  };
  for (const { material, session, parts } of mix.batches) {
    const recipe = recipes[material]!;
    const { silicone, additives } = recipe;
    const shares = massShares(silicone);
    const master = mix.masters.find((one) => one.material === material);
    const made = master === undefined || master.needG === 0 ? 1 : master.makeG / master.needG;
    parts.forEach(({ part, massG }, i) => {
      const kind = recipe.portions[i]!.kind;
      const inMaster = kind === 'pigment' || kind === 'flock' || (master !== undefined && kind === recipe.tintInto);
      const use = { day: options.dayOfSession[session]!, massG: inMaster ? massG * made : massG };
      if (kind === 'A' || kind === 'B') {
        item(silicone.name, `${silicone.name}, ${part}`, silicone, shares[kind === 'A' ? 0 : 1]).uses.push(use);
      } else {
        const { additive } = additives[i - 2]!;
        item(additive.name, additive.name, additive, 1).uses.push(use);
      }
    });
  }
  options.sprays.forEach((spray, session) => {
    if (spray === undefined) return;
    const day = options.dayOfSession[session]!;
    const solvent = options.thinners.find(({ name }) => name === spray.solvent);
    item(spray.lacquer, spray.lacquer, options.lacquer ?? {}, 1).uses.push({ day, massG: spray.lacquerG });
    item(spray.solvent, spray.solvent, solvent ?? {}, 1).uses.push({ day, massG: spray.thinnerG });
  });
  const priced = [...groups.values()].map((items) => buyGroup(items, options.deliveryDays));
  return {
    currency: options.currency,
    usedCost: priced.reduce((sum, { usedCost }) => sum + (usedCost ?? 0), 0),
    buyCost: priced.reduce((sum, { buyCost }) => sum + buyCost, 0),
    unpriced: [...groups.keys()].filter((_, i) => priced[i]!.usedCost === null),
    materials: priced.flatMap(({ needs }) => needs),
  };
}

const left = ({ leftG, leftAG, leftBG }: Lot, what: string): number =>
  leftG ?? (what.endsWith(', A') ? leftAG : leftBG) ?? 0;

/** What a lot holds for uses up to its day. */
function onShelf(item: Item): number | null {
  const { lots } = item.stock;
  if (lots === undefined) return null;
  const lastUse = item.uses
    .map(({ day }) => day)
    .toSorted()
    .at(-1)!;
  return lots
    .filter(({ useBy }) => useBy === undefined || useBy >= lastUse)
    .reduce((sum, lot) => sum + left(lot, item.what), 0);
}

function buyGroup(items: readonly Item[], deliveryDays: number) {
  const packs = items[0]!.stock.packs ?? [];
  const wanted = items.map((item) => {
    const useG = item.uses.reduce((sum, { massG }) => sum + massG, 0);
    const onShelfG = onShelf(item);
    return { item, useG, onShelfG, shortG: Math.max(0, useG - (onShelfG ?? 0)) };
  });
  // A pack holds A and B in their ratio: the part that is shortest of its share decides.
  const shortPackG = Math.max(...wanted.map(({ shortG, item }) => shortG / item.share));
  const buy = cheapestPacks(shortPackG, packs);
  const boughtG = buy.reduce((sum, { holdsG, count }) => sum + holdsG * count, 0);
  const perG = pricePerG(packs);
  const needs = wanted.map(({ item, useG, onShelfG, shortG }): MaterialNeed => {
    const leftG =
      onShelfG === null && boughtG === 0 ? null : Math.max(0, (onShelfG ?? 0) + boughtG * item.share - useG);
    const runsOut = shortG > 0 ? dayOut(item.uses, onShelfG ?? 0) : undefined;
    return {
      what: item.what,
      useG,
      onShelfG,
      leftG,
      buy: buy.map(({ holdsG, price, count }) => ({ holdsG, price, count })),
      // Where neither the shelf nor a pack says anything, the person knows better.
      buyBy:
        runsOut === undefined || (onShelfG === null && packs.length === 0) ? null : addDays(runsOut, -deliveryDays),
    };
  });
  const used = wanted.reduce((sum, { useG }) => sum + useG, 0);
  return {
    needs,
    usedCost: perG === null ? null : used * perG,
    buyCost: buy.reduce((sum, { price, count }) => sum + price * count, 0),
  };
}

/** The day on which the stock no longer does. */
function dayOut(uses: readonly Use[], stockG: number): string | undefined {
  let sum = 0;
  for (const { day, massG } of uses.toSorted((a, b) => a.day.localeCompare(b.day))) {
    sum += massG;
    if (sum > stockG) return day;
  }
  return undefined;
}

/** Lots that are past their day when the plan needs them. */
export function staleLots(recipes: readonly Recipe[], shelf: Shelf | undefined, lastDay: string): string[] {
  if (shelf === undefined) return [];
  const names = new Set(
    recipes.flatMap(({ silicone, additives }) => [silicone.name, ...additives.map(({ additive }) => additive.name)]),
  );
  const stocked: (Stock & { name: string })[] = [...shelf.silicones, ...shelf.additives];
  return stocked
    .filter(({ name }) => names.has(name))
    .flatMap(({ name, lots = [] }) =>
      lots
        .filter(({ useBy }) => useBy !== undefined && useBy < lastDay)
        .map(({ lot, useBy }) => `${name}, lot ${lot} (${useBy})`),
    );
}
