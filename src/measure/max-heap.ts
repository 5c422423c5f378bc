/** A priority queue of numbered items, the one with the highest key first. */
export class MaxHeap {
  private readonly items: number[] = [];
  private readonly keys: number[] = [];

  push(item: number, key: number): void {
    const { items, keys } = this;
    let at = items.length;
    items.push(item);
    keys.push(key);
    while (at > 0) {
      const above = (at - 1) >> 1;
      if (keys[above]! >= key) break;
      items[at] = items[above]!;
      keys[at] = keys[above]!;
      at = above;
    }
    items[at] = item;
    keys[at] = key;
  }

  /** Key of the item that comes next, -Infinity where there is none. */
  get topKey(): number {
    return this.keys[0] ?? Number.NEGATIVE_INFINITY;
  }

  /** Takes out the item with the highest key, or -1 where there is none. */
  pop(): number {
    const { items, keys } = this;
    const item = items[0];
    if (item === undefined) return -1;
    const last = items.pop()!;
    const key = keys.pop()!;
    const count = items.length;
    if (count === 0) return item;
    let at = 0;
    for (;;) {
      let below = 2 * at + 1;
      if (below >= count) break;
      if (below + 1 < count && keys[below + 1]! > keys[below]!) below++;
      if (keys[below]! <= key) break;
      items[at] = items[below]!;
      keys[at] = keys[below]!;
      at = below;
    }
    items[at] = last;
    keys[at] = key;
    return item;
  }
}
