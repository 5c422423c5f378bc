/**
 * A closed loop with the jitter of a noisy mesh taken out: each point moves to the mean of its neighbours along the loop,
 * weighted by a Gaussian over arc length, twice over with what the first pass took away put back (twicing), so that round
 * loops do not shrink. Corners are rounded by about the width.
 * @param loop x, y per point, the first point not repeated
 */
export function smoothLoop(loop: Float64Array, widthMm: number): Float64Array {
  const n = loop.length / 2;
  const step = new Float64Array(n);
  let length = 0;
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n;
    step[i] = Math.hypot(loop[2 * j]! - loop[2 * i]!, loop[2 * j + 1]! - loop[2 * i + 1]!);
    length += step[i]!;
  }
  // A loop of a few widths keeps its shape: the kernel never spans more than an eighth of it.
  const width = Math.min(widthMm, length / 24);
  const once = average(loop, step, width);
  const rest = loop.map((value, i) => value - once[i]!);
  const back = average(rest, step, width);
  return once.map((value, i) => value + back[i]!);
}

function average(values: Float64Array, step: Float64Array, width: number): Float64Array {
  const n = step.length;
  const result = new Float64Array(values.length);
  for (let i = 0; i < n; i++) {
    // A point stands for half the way to each of its neighbours.
    const own = (step[i]! + step[(i + n - 1) % n]!) / 2;
    let weights = own;
    let x = own * values[2 * i]!;
    let y = own * values[2 * i + 1]!;
    for (const direction of [1, -1]) {
      let distance = 0;
      for (let count = 1; count < n; count++) {
        const j = (i + direction * count + n * count) % n;
        distance += direction > 0 ? step[(j + n - 1) % n]! : step[j]!;
        if (distance > 3 * width) break;
        const w = ((step[j]! + step[(j + n - 1) % n]!) / 2) * Math.exp(-0.5 * (distance / width) ** 2);
        weights += w;
        x += w * values[2 * j]!;
        y += w * values[2 * j + 1]!;
      }
    }
    result[2 * i] = weights > 0 ? x / weights : values[2 * i]!;
    result[2 * i + 1] = weights > 0 ? y / weights : values[2 * i + 1]!;
  }
  return result;
}
