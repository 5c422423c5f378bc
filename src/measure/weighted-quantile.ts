/**
 * The value that all smaller ones and itself together reach a weight with; null where all together do not. Numbers are parted
 * about one of them again and again, in the part that holds the answer: much faster than sorting.
 * @param weights not negative
 */
export function valueAtWeight(values: Float64Array, weights: Float64Array, weight: number): number | null {
  const order = new Uint32Array(values.length);
  for (let i = 0; i < order.length; i++) order[i] = i;
  let low = 0;
  let high = order.length;
  let before = 0;
  while (low < high) {
    const pivot = values[order[(low + high) >> 1]!]!;
    // Smaller ones go before `i`, larger ones from `k` on.
    let smaller = 0;
    let equal = 0;
    let i = low;
    let k = high;
    for (let j = low; j < k; ) {
      const at = order[j]!;
      const value = values[at]!;
      if (value < pivot) {
        smaller += weights[at]!;
        order[j++] = order[i]!;
        order[i++] = at;
      } else if (value > pivot) {
        order[j] = order[--k]!;
        order[k] = at;
      } else {
        equal += weights[at]!;
        j++;
      }
    }
    if (i > low && before + smaller >= weight) high = i;
    else if (before + smaller + equal >= weight) return pivot;
    else {
      before += smaller + equal;
      low = k;
    }
  }
  return null;
}
