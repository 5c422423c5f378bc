/** The value at a share (0 to 1) of ascending numbers, straight between neighbours. */
export function quantile(ascending: ArrayLike<number>, share: number): number {
  const at = share * (ascending.length - 1);
  const low = Math.floor(at);
  const high = Math.min(ascending.length - 1, low + 1);
  return ascending[low]! + (at - low) * (ascending[high]! - ascending[low]!);
}

export function median(values: Iterable<number>): number {
  return quantile(Float64Array.from(values).sort(), 0.5);
}
