import type { FillBody } from './fill-body.js';

/** How far a drawn rim may run beside the measured one, mm: under a printed hairline. */
const drawnWithinMm = 0.02;
const round = (value: number): number => Math.round(value * 100) / 100 || 0;

/** Squared distance of point `p` of a loop from the chord between points `a` and `b`. */
function offChord(loop: Float64Array, p: number, a: number, b: number): number {
  const ax = loop[2 * a]!;
  const ay = loop[2 * a + 1]!;
  const dx = loop[2 * b]! - ax;
  const dy = loop[2 * b + 1]! - ay;
  const px = loop[2 * p]! - ax;
  const py = loop[2 * p + 1]! - ay;
  const length = dx * dx + dy * dy;
  const share = length === 0 ? 0 : Math.min(1, Math.max(0, (px * dx + py * dy) / length));
  return (px - share * dx) ** 2 + (py - share * dy) ** 2;
}

/** Points to keep between `first` and `last` (Douglas, Peucker 1973), with an explicit stack: rims run to 10,000 points. */
function keepBetween(loop: Float64Array, first: number, last: number, keep: Uint8Array): void {
  const stack: [number, number][] = [[first, last]];
  for (let span = stack.pop(); span !== undefined; span = stack.pop()) {
    const [from, to] = span;
    let worst = drawnWithinMm ** 2;
    let at = -1;
    for (let p = from + 1; p < to; p++) {
      const off = offChord(loop, p, from, to);
      if (off <= worst) continue;
      worst = off;
      at = p;
    }
    if (at < 0) continue;
    keep[at] = 1;
    stack.push([from, at], [at, to]);
  }
}

/**
 * The rim of a fill body as a picture needs it: within 0.02 mm of the measured one, coordinates in hundredths of mm.
 * @returns one closed loop an entry, x, y per point (stride 2), the first point not repeated
 */
export function rimOutline(body: Pick<FillBody, 'rimLoops'>): number[][] {
  return body.rimLoops.map((loop) => {
    const count = loop.length / 2;
    if (count < 4) return Array.from(loop, round);
    const keep = new Uint8Array(count);
    const half = count >> 1;
    keep[0] = keep[half] = keep[count - 1] = 1;
    keepBetween(loop, 0, half, keep);
    keepBetween(loop, half, count - 1, keep);
    const drawn: number[] = [];
    for (let p = 0; p < count; p++) if (keep[p] === 1) drawn.push(round(loop[2 * p]!), round(loop[2 * p + 1]!));
    return drawn;
  });
}
