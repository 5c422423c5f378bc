import type { FillBody } from '../cavity/fill-body.js';
import type { MeasuredBody } from './measured-body.js';

/** Evenly spaced places along the rim, loop after loop. */
export interface RimSamples {
  /** Per sample: number of the rim loop, and arc length along it, mm. */
  readonly loop: Uint32Array;
  readonly arcMm: Float64Array;
  /** x, y per sample. */
  readonly place: Float64Array;
  /** Unit direction inward, x, y per sample. */
  readonly inward: Float64Array;
  /** Per loop: arc length between samples. */
  readonly stepMm: readonly number[];
}

const spacingMm = 0.25;

/** A sample's direction inward is square to the chord over this far to both sides: it smooths a jagged rim. */
const chordMm = 0.5;
const chordUnderNoiseMm = 2;

/** Evenly spaced samples along the rim with their direction inward. */
export function rimSamples(fill: FillBody): RimSamples {
  const loop: number[] = [];
  const arcMm: number[] = [];
  const place: number[] = [];
  const inward: number[] = [];
  const stepMm: number[] = [];
  fill.rimLoops.forEach((points, number) => {
    const at = alongLoop(points);
    const samples = Math.max(32, Math.round(at.lengthMm / spacingMm));
    const chord = Math.min(fill.noiseMm > 0 ? chordUnderNoiseMm : chordMm, at.lengthMm / 32);
    stepMm.push(at.lengthMm / samples);
    for (let i = 0; i < samples; i++) {
      const arc = (i / samples) * at.lengthMm;
      const [x, y] = at.point(arc);
      const [ax, ay] = at.point(arc - chord);
      const [bx, by] = at.point(arc + chord);
      const length = Math.hypot(bx - ax, by - ay) || 1;
      loop.push(number);
      arcMm.push(arc);
      place.push(x, y);
      // The opening lies on the left of outer loops and of loops round islands alike.
      inward.push(-(by - ay) / length, (bx - ax) / length);
    }
  });
  return {
    loop: Uint32Array.from(loop),
    arcMm: Float64Array.from(arcMm),
    place: Float64Array.from(place),
    inward: Float64Array.from(inward),
    stepMm,
  };
}

/** First sample and number of samples of each loop. */
export function loopRanges({ loop }: RimSamples): [number, number][] {
  const ranges: [number, number][] = [];
  for (let first = 0; first < loop.length; ) {
    let end = first;
    while (end < loop.length && loop[end] === loop[first]) end++;
    ranges.push([first, end - first]);
    first = end;
  }
  return ranges;
}

function alongLoop(points: Float64Array): { lengthMm: number; point: (arcMm: number) => [number, number] } {
  const count = points.length / 2;
  const arcs = new Float64Array(count + 1);
  for (let i = 0; i < count; i++) {
    const j = (i + 1) % count;
    arcs[i + 1] = arcs[i]! + Math.hypot(points[2 * j]! - points[2 * i]!, points[2 * j + 1]! - points[2 * i + 1]!);
  }
  const lengthMm = arcs[count]!;
  return {
    lengthMm,
    point(arcMm) {
      const arc = ((arcMm % lengthMm) + lengthMm) % lengthMm;
      let low = 0;
      let high = count;
      while (high - low > 1) {
        const middle = (low + high) >> 1;
        if (arcs[middle]! <= arc) low = middle;
        else high = middle;
      }
      const next = (low + 1) % count;
      const share = arcs[low + 1]! > arcs[low]! ? (arc - arcs[low]!) / (arcs[low + 1]! - arcs[low]!) : 0;
      return [
        points[2 * low]! + share * (points[2 * next]! - points[2 * low]!),
        points[2 * low + 1]! + share * (points[2 * next + 1]! - points[2 * low + 1]!),
      ];
    },
  };
}

/**
 * The point at distance s from the rim that lies inward of sample i, or null where there is none: near a corner, or
 * where the piece is narrower, another part of the rim is nearer.
 */
export function inwardPoint(
  body: Pick<MeasuredBody, 'rim' | 'wall'>,
  samples: RimSamples,
  i: number,
  s: number,
): [number, number] | null {
  const { rim, wall } = body;
  const { place, inward } = samples;
  let x = place[2 * i]! + s * inward[2 * i]!;
  let y = place[2 * i + 1]! + s * inward[2 * i + 1]!;
  let distance = rim.distance(x, y);
  if (distance < 0.7 * s) return null;
  // A jagged rim or a corner makes the first guess a little off.
  for (let round = 0; round < 3 && Math.abs(distance - s) > 1e-6 * s; round++) {
    x = rim.foundX + ((x - rim.foundX) * s) / distance;
    y = rim.foundY + ((y - rim.foundY) * s) / distance;
    distance = rim.distance(x, y);
  }
  if (distance < 0.98 * s) return null;
  return wall.winding(x, y, -justUnderMm) > 0 ? [x, y] : null;
}

const justUnderMm = 1e-6;
