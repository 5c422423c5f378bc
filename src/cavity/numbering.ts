/** Extent of an opening in the plate frame. */
export interface Extent {
  readonly yMin: number;
  readonly yMax: number;
  readonly x: number;
}

/**
 * Reading order in the mould view: rows are sets of openings whose y-extents overlap, top row (largest y) first, and
 * in a row from left to right.
 * @returns the items' indices in that order
 */
export function readingOrder(extents: readonly Extent[]): number[] {
  const byTop = extents.map((_, i) => i).sort((a, b) => extents[b]!.yMax - extents[a]!.yMax || a - b);
  const rows: { bottom: number; items: number[] }[] = [];
  for (const i of byTop) {
    const row = rows.at(-1);
    if (row !== undefined && extents[i]!.yMax > row.bottom) {
      row.items.push(i);
      row.bottom = Math.min(row.bottom, extents[i]!.yMin);
    } else {
      rows.push({ bottom: extents[i]!.yMin, items: [i] });
    }
  }
  return rows.flatMap((row) => row.items.sort((a, b) => extents[a]!.x - extents[b]!.x || a - b));
}
