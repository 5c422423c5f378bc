import { loopRanges, type RimSamples } from './rim-samples.js';

/** A stretch of the rim: samples `first` and the following, round its loop, `count` of them. */
export interface Stretch {
  readonly loop: number;
  readonly samples: readonly number[];
  readonly lengthMm: number;
}

/** Gaps shorter than this do not part a stretch, and a shorter stretch is none. */
const gapMm = 2;
const leastMm = 1;

/**
 * Stretches of the rim whose samples pass the test.
 * @param bridges samples of which nothing can be said, as in corners: they never part a stretch
 */
export function rimStretches(
  samples: RimSamples,
  passes: (sample: number) => boolean,
  bridges: (sample: number) => boolean = () => false,
): Stretch[] {
  return loopRanges(samples).flatMap(([first, size]) => stretchesOfLoop(samples, first, size, passes, bridges));
}

function stretchesOfLoop(
  samples: RimSamples,
  first: number,
  size: number,
  passes: (sample: number) => boolean,
  bridges: (sample: number) => boolean,
): Stretch[] {
  const loop = samples.loop[first]!;
  const step = samples.stepMm[loop]!;
  const marked = Uint8Array.from({ length: size }, (_, k) => (passes(first + k) ? 1 : 0));
  const start = marked.indexOf(1);
  if (start < 0) return [];

  // Once round the loop, and back to the sample it began with: a last stretch that reaches it goes before the first.
  const found: number[][] = [[]];
  let between: number[] = [];
  let gap = 0;
  for (let k = 0; k <= size; k++) {
    const at = first + ((start + k) % size);
    if (k < size && marked[at - first] === 0) {
      between.push(at);
      if (!bridges(at)) gap += step;
      continue;
    }
    const joins = gap <= gapMm;
    if (k === size) {
      if (joins) found.at(-1)!.push(...between);
      if (joins && found.length > 1) found[0]!.unshift(...found.pop()!);
      break;
    }
    if (joins) found.at(-1)!.push(...between);
    else found.push([]);
    found.at(-1)!.push(at);
    between = [];
    gap = 0;
  }
  return found
    .filter((samplesOf) => samplesOf.length * step >= leastMm)
    .map((samplesOf) => ({ loop, samples: samplesOf, lengthMm: samplesOf.length * step }));
}
