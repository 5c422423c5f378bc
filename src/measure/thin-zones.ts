import type { TaskOptions } from '../base/source.js';
import type { ThinZoneRecord } from '../base/survey-document.js';
import { facePatches } from './face-patches.js';
import type { MeasuredBody } from './measured-body.js';
import { quantile } from './quantile.js';
import { rimReach } from './reach.js';
import { inwardPoint, loopRanges, type RimSamples } from './rim-samples.js';
import { rimStretches, type Stretch } from './rim-stretches.js';
import { ballUnderSurface } from './taper.js';
import type { ThicknessMap } from './thickness.js';

/** A thin zone with what a sentence about it needs. */
export interface ThinZone extends ThinZoneRecord {
  /** Where along its span it runs in farthest. */
  readonly reachMostMm: number;
  /** Thickness in the middle of the feather allowance, and at its end: by how much to build up. */
  readonly atAllowanceMm: number | null;
  readonly isThinThrough: boolean;
  /** Runs past the feather allowance, or lies inside the piece: more than an edge that tapers as it should. */
  readonly isPast: boolean;
  /**
   * The zone in plan, closed loops: x, y per point. At the rim along it and back at its reach, all round the rim and a loop
   * at its reach; inner ones as a circle.
   */
  readonly outlineMm: readonly (readonly number[])[];
}

/** Walls steeper than 45 degrees are sides; walls that meet at more than 45 degrees make a corner, not a web. */
const steep = Math.SQRT1_2;
const cosWeb = Math.SQRT1_2;

/** An inner thin spot under this area is dirt of the mesh, mm². */
const leastSpotMm2 = 0.3;

/**
 * Connected parts of the body that are thinner than a thickness. At the rim: stretches along which the edge stays thin
 * past the feather allowance are zones of their own, the rest of the feathered rim follows; a rim steeper than 2 atan(1/2),
 * about 53 degrees, has none. Elsewhere: connected thin wall that does not touch the rim. What is thin from side to side,
 * between steep walls, is a fin, and where two walls meet there is a corner: no hole tears open there, and they are none.
 */
export async function thinZones(
  body: MeasuredBody,
  map: ThicknessMap,
  samples: RimSamples,
  tearMm: number,
  task: TaskOptions = {},
): Promise<ThinZone[]> {
  const { reachMm, isThinThrough } = await rimReach(body, samples, tearMm, task);
  const isFeathered = (i: number) => reachMm[i]! > tearMm;
  const isLong = (i: number) => isFeathered(i) && reachMm[i]! > body.allowanceMm;
  // In a corner of the rim the way inward ends before the edge is thick enough.
  const isCut = (i: number) => isThinThrough[i] === 1;
  const stretches = [
    ...rimStretches(samples, isLong, isCut),
    ...rimStretches(samples, (i) => isFeathered(i) && !isLong(i)),
  ];
  const stretchOf = new Int32Array(samples.loop.length).fill(-1);
  // Long ones come first and keep the samples in the gaps that they span.
  stretches.forEach((stretch, number) => {
    for (const i of stretch.samples) if (stretchOf[i]! < 0) stretchOf[i] = number;
  });

  const area = new Float64Array(stretches.length);
  const least = new Float64Array(stretches.length).fill(Infinity);
  const inner: ThinZone[] = [];
  const ranges = loopRanges(samples);
  for (const patch of facePatches(map, (f) => map.thicknessMm[f]! < tearMm)) {
    if (!patch.some((f) => touchesRim(map, f))) {
      const zone = innerZone(map, patch);
      if (zone.areaMm2 >= leastSpotMm2 && isWeb(body, map, patch)) inner.push(zone);
      continue;
    }
    addPatch(map, patch, (f) => stretchOf[nearestSample(body, samples, ranges, map, f)]!, area, least);
  }
  const edges = stretches.map((stretch, k) => {
    const reaches = Float64Array.from(stretch.samples, (i) => reachMm[i]!).sort();
    const reach = quantile(reaches, 0.5);
    return {
      areaMm2: area[k]!,
      reachMm: reach,
      isPast: reach > body.allowanceMm,
      reachMostMm: reaches.at(-1)!,
      rimSpanMm: stretch.lengthMm,
      minMm: Number.isFinite(least[k]!) ? least[k]! : tearMm,
      inner: false,
      atMm: middleOf(body, samples, stretch, reachMm),
      atAllowanceMm: thicknessAcross(body, samples, stretch, body.allowanceMm),
      isThinThrough: stretch.samples.filter((i) => isThinThrough[i] === 1).length > stretch.samples.length / 2,
      outlineMm: bandOutline(samples, stretch, reachMm),
    };
  });
  return [...edges, ...inner];
}

/** Adds the faces of a patch at the rim to the stretches that they belong to: area, and least thickness. */
function addPatch(
  map: ThicknessMap,
  patch: readonly number[],
  stretchAt: (f: number) => number,
  area: Float64Array,
  least: Float64Array,
): void {
  for (const f of patch) {
    const stretch = stretchAt(f);
    if (stretch < 0) continue;
    area[stretch]! += map.areaMm2[f]!;
    if (map.inMm[f]! >= leastStationMm) least[stretch] = Math.min(least[stretch]!, map.thicknessMm[f]!);
  }
}

/** The minimum of a zone at the rim counts from the first station of the taper: at the rim itself it would be 0. */
const leastStationMm = 0.25;

function touchesRim(map: ThicknessMap, f: number): boolean {
  for (let corner = 0; corner < 3; corner++)
    if (map.positions[3 * map.triangles[3 * f + corner]! + 2]! > -1e-6) return true;
  return false;
}

/** Number of the rim sample nearest to the middle of a face. */
function nearestSample(
  body: MeasuredBody,
  samples: RimSamples,
  ranges: readonly (readonly [number, number])[],
  map: ThicknessMap,
  f: number,
): number {
  const [x, y] = middle(map, f);
  const { rim } = body;
  rim.distance(x, y);
  const segment = rim.foundSegment;
  const loop = rim.parts.loopOf[segment]!;
  const startX = rim.segments[4 * segment]!;
  const startY = rim.segments[4 * segment + 1]!;
  const arc = rim.parts.arcMm[segment]! + Math.hypot(rim.foundX - startX, rim.foundY - startY);
  const [first, count] = ranges[loop]!;
  return first + (Math.round(arc / samples.stepMm[loop]!) % count);
}

function middle(map: ThicknessMap, f: number): [number, number, number] {
  const sum: [number, number, number] = [0, 0, 0];
  for (let corner = 0; corner < 3; corner++) {
    for (let axis = 0; axis < 3; axis++) sum[axis]! += map.positions[3 * map.triangles[3 * f + corner]! + axis]! / 3;
  }
  return sum;
}

/**
 * Is a patch for the most part thin under the scrape surface, or between floor and ceiling that face each other? Fins and
 * corners are not.
 */
function isWeb(body: MeasuredBody, map: ThicknessMap, patch: readonly number[]): boolean {
  const { normals: n } = body;
  let balance = 0;
  for (const f of patch) {
    const a = 3 * map.partOf[f]!;
    const b = 3 * map.stoppedBy[f]!;
    const faces = b < 0 || n[a]! * n[b]! + n[a + 1]! * n[b + 1]! + n[a + 2]! * n[b + 2]! < -cosWeb;
    balance += faces && (b < 0 || Math.abs(n[a + 2]!) >= steep) ? map.areaMm2[f]! : -map.areaMm2[f]!;
  }
  return balance > 0;
}

function innerZone(map: ThicknessMap, patch: readonly number[]): ThinZone {
  const thinnest = patch.reduce((best, f) => (map.thicknessMm[f]! < map.thicknessMm[best]! ? f : best));
  return {
    areaMm2: patch.reduce((sum, f) => sum + map.areaMm2[f]!, 0),
    reachMm: 0,
    reachMostMm: 0,
    rimSpanMm: 0,
    minMm: map.thicknessMm[thinnest]!,
    inner: true,
    isPast: true,
    atMm: middle(map, thinnest),
    atAllowanceMm: null,
    isThinThrough: false,
    outlineMm: [circleRound(map, patch)],
  };
}

/** The middle of a stretch, half its reach inward, on the wall below. */
function middleOf(
  body: MeasuredBody,
  samples: RimSamples,
  stretch: Stretch,
  reachMm: Float64Array,
): [number, number, number] {
  const i = stretch.samples[stretch.samples.length >> 1]!;
  const s = reachMm[i]! / 2;
  const x = samples.place[2 * i]! + s * samples.inward[2 * i]!;
  const y = samples.place[2 * i + 1]! + s * samples.inward[2 * i + 1]!;
  body.wall.nearest(x, y, 0);
  return [body.wall.foundX, body.wall.foundY, body.wall.foundZ];
}

function bandOutline({ place, inward, loop }: RimSamples, stretch: Stretch, reachMm: Float64Array): number[][] {
  const at = (i: number, s: number) => [place[2 * i]! + s * inward[2 * i]!, place[2 * i + 1]! + s * inward[2 * i + 1]!];
  const along = stretch.samples.flatMap((i) => at(i, 0));
  const back = stretch.samples.toReversed().flatMap((i) => at(i, reachMm[i]!));
  const isAllRound = stretch.samples.length >= loop.filter((l) => l === stretch.loop).length;
  return isAllRound ? [along, back] : [[...along, ...back]];
}

/** A circle in plan round all faces of a patch. */
function circleRound(map: ThicknessMap, patch: readonly number[]): number[] {
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const f of patch) {
    const [x, y] = middle(map, f);
    [x0, y0, x1, y1] = [Math.min(x0, x), Math.min(y0, y), Math.max(x1, x), Math.max(y1, y)];
  }
  const radius = Math.max(0.5, Math.hypot(x1 - x0, y1 - y0) / 2);
  return Array.from({ length: 24 }, (_, k) => (k * Math.PI) / 12).flatMap((turn) => [
    (x0 + x1) / 2 + radius * Math.cos(turn),
    (y0 + y1) / 2 + radius * Math.sin(turn),
  ]);
}

/** Median thickness along a stretch at a distance inward from the rim; null where the piece is narrower. */
function thicknessAcross(body: MeasuredBody, samples: RimSamples, stretch: Stretch, inMm: number): number | null {
  const values = stretch.samples.flatMap((i) => {
    const at = inwardPoint(body, samples, i, inMm);
    return at === null ? [] : [ballUnderSurface(body, at[0], at[1])];
  });
  return values.length === 0 ? null : quantile(Float64Array.from(values).sort(), 0.5);
}
