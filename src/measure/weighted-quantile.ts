/**
 * The value that all smaller ones and itself together reach a weight with; null where all together do not. Numbers are
 * parted about one of them again and again, in the part that holds the answer: much faster than sorting.
 * @param values change places, and so do their weights
 * @param weights not negative
 */
export function valueAtWeight(values: Float64Array, weights: Float64Array, weight: number): number | null {
  let low = 0;
  let high = values.length;
  let before = 0;
  while (low < high) {
    const pivot = values[(low + high) >> 1]!;
    // Smaller ones go before `i`, larger ones from `k` on.
    let smaller = 0;
    let equal = 0;
    let i = low;
    let k = high;
    for (let j = low; j < k; ) {
      const value = values[j]!;
      if (value < pivot) {
        smaller += weights[j]!;
        swap(values, i, j);
        swap(weights, i++, j++);
      } else if (value > pivot) {
        swap(values, j, --k);
        swap(weights, j, k);
      } else {
        equal += weights[j]!;
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

function swap(numbers: Float64Array, i: number, j: number): void {
  const number = numbers[i]!;
  numbers[i] = numbers[j]!;
  numbers[j] = number;
}
