/** What one item asks of a batch; both at least 0. */
export interface Load {
  readonly grams: number;
  readonly minutes: number;
}

/** The most that a batch can hold and last. */
export interface Limits {
  readonly grams: number;
  readonly minutes: number;
}

/** Sums of doubles on the limit itself still fit. */
const slack = 1e-9;

export function fits(load: Load, limits: Limits): boolean {
  return load.grams <= limits.grams * (1 + slack) && load.minutes <= limits.minutes * (1 + slack);
}

function fullness(load: Load, limits: Limits): number {
  return Math.max(load.grams / limits.grams, load.minutes / limits.minutes);
}

function plus(a: Load, b: Load): Load {
  return { grams: a.grams + b.grams, minutes: a.minutes + b.minutes };
}

/**
 * Puts items into the smallest number of batches, the batches as equal as that allows. Each item must fit alone.
 *
 * Packing with two limits has no quick exact answer. For each number of batches from the lower bound up: the emptiest
 * batch first (which makes them equal), then the fullest that still takes the item (which packs densest), then a search
 * with a bounded number of trials. Runs of equal items, the common case, are settled by the first.
 * @returns indices of the items in each batch
 */
export function packItems(items: readonly Load[], limits: Limits): number[][] {
  const order = items.map((_, i) => i).toSorted((a, b) => fullness(items[b]!, limits) - fullness(items[a]!, limits));
  for (let count = leastBatches(items, limits); count < items.length; count++) {
    const packed =
      greedy(items, order, limits, count, 'emptiest') ??
      greedy(items, order, limits, count, 'fullest') ??
      search(items, order, limits, count);
    if (packed !== undefined) return packed;
  }
  return items.map((_, i) => [i]);
}

/**
 * Puts items into batches in their order: as few as that allows, and the fullest as empty as can be. Each item must fit
 * alone.
 * @returns indices of the items in each batch
 */
export function packInOrder(items: readonly Load[], limits: Limits): number[][] {
  const upTo = (share: number): number[][] => {
    const most = { grams: limits.grams * share, minutes: limits.minutes * share };
    const groups: number[][] = [];
    let held: Load = { grams: 0, minutes: 0 };
    items.forEach((item, i) => {
      const more = plus(held, item);
      if (groups.length > 0 && fits(more, most)) groups.at(-1)!.push(i);
      else groups.push([i]);
      held = groups.at(-1)!.length > 1 ? more : item;
    });
    return groups;
  };
  let best = upTo(1);
  let [low, high] = [Math.max(0, ...items.map((item) => fullness(item, limits))), 1];
  for (let round = 0; round < 30; round++) {
    const middle = (low + high) / 2;
    const groups = upTo(middle);
    if (groups.length > best.length) low = middle;
    else [best, high] = [groups, middle];
  }
  return best;
}

/** No packing can do with fewer: by the sums, and since of items over a (k+1)th of a limit only k go together. */
function leastBatches(items: readonly Load[], limits: Limits): number {
  const sum = items.reduce(plus, { grams: 0, minutes: 0 });
  let least = Math.max(1, Math.ceil(fullness(sum, limits) - items.length * slack));
  for (const what of ['grams', 'minutes'] as const) {
    const sizes = items.map((item) => item[what] / limits[what]).toSorted((a, b) => b - a);
    sizes.forEach((size, i) => {
      const together = Math.floor(1 / size + 4 * slack);
      if (together >= 1) least = Math.max(least, Math.ceil((i + 1) / together));
    });
  }
  return least;
}

interface Bin {
  items: number[];
  load: Load;
}

const emptyBins = (count: number): Bin[] =>
  Array.from({ length: count }, () => ({ items: [], load: { grams: 0, minutes: 0 } }));

const contents = (bins: readonly Bin[]): number[][] =>
  bins.filter(({ items }) => items.length > 0).map(({ items }) => items.toSorted((a, b) => a - b));

function greedy(
  items: readonly Load[],
  order: readonly number[],
  limits: Limits,
  count: number,
  prefer: 'emptiest' | 'fullest',
): number[][] | undefined {
  const bins = emptyBins(count);
  for (const item of order) {
    const open = bins.filter(({ load }) => fits(plus(load, items[item]!), limits));
    if (open.length === 0) return undefined;
    const sign = prefer === 'emptiest' ? 1 : -1;
    const rank = (bin: Bin) => sign * fullness(bin.load, limits);
    const bin = open.reduce((best, next) => (rank(next) < rank(best) ? next : best));
    bin.items.push(item);
    bin.load = plus(bin.load, items[item]!);
  }
  return contents(bins);
}

/** Trials that a search may take: a few milliseconds. */
const mostTrials = 20_000;

function search(
  items: readonly Load[],
  order: readonly number[],
  limits: Limits,
  count: number,
): number[][] | undefined {
  const bins = emptyBins(count);
  let trials = 0;
  const place = (depth: number): boolean => {
    if (depth === order.length) return true;
    const item = order[depth]!;
    const tried = new Set<string>();
    for (const bin of bins) {
      const before = bin.load;
      // Batches that hold the same are the same choice.
      const key = `${before.grams} ${before.minutes}`;
      if (tried.has(key) || !fits(plus(before, items[item]!), limits)) continue;
      tried.add(key);
      if (++trials > mostTrials) return false;
      bin.items.push(item);
      bin.load = plus(before, items[item]!);
      if (place(depth + 1)) return true;
      bin.items.pop();
      bin.load = before;
    }
    return false;
  };
  return place(0) ? contents(bins) : undefined;
}
