import { taken } from '../base/memory.js';
import type { TaskOptions } from '../base/source.js';
import type { TaperStation } from '../base/survey-document.js';
import type { MeasuredBody } from './measured-body.js';
import { inPieces, memoryFor, type PieceWork, rangeOf } from './pieces.js';
import { quantile } from './quantile.js';
import { inwardPoint, type RimSamples, rimSamples } from './rim-samples.js';
import { chunkSamples, openRim, type RimBody, type RimTask, rimTask } from './rim-task.js';

/** Distances inward from the rim that the taper is reported at. */
export const taperStationsMm = [0.25, 0.5, 1, 2, 3] as const;

/** Distances that it is measured at; the edge angle is fitted over those from 0.25 to 2 mm. */
const profileStationsMm = [0.25, 0.5, 0.75, 1, 1.25, 1.5, 1.75, 2, 3] as const;
const fitToMm = 2;

/** Thickness of the edge round the rim. */
export interface EdgeProfile {
  readonly samples: RimSamples;
  readonly stationsMm: readonly number[];
  /** Per sample and station: diameter of the largest ball; NaN where the piece has no point that far from its rim. */
  readonly thicknessMm: Float64Array;
}

export interface EdgeTaper {
  readonly stations: TaperStation[];
  readonly edgeAngleDeg: number | null;
  readonly profile: EdgeProfile;
}

/**
 * Diameter of the largest ball under the opening that touches the scrape surface at (x, y), stopped by the first wall.
 */
export function ballUnderSurface(body: RimBody, x: number, y: number): number {
  return body.wall.ballToFirstWall(x, y, 0, 0, 0, -1, body.largestBall.diameterMm);
}

/** Thickness of the edge at stations inward from the rim, and the angle it tapers at. */
export async function edgeTaper(body: MeasuredBody, task: TaskOptions = {}): Promise<EdgeTaper> {
  const profile = await edgeProfile(body, task);
  const columns = profile.stationsMm.map((_, k) => column(profile, k));
  const stations = taperStationsMm.flatMap((inMm) => {
    const sorted = columns[profile.stationsMm.indexOf(inMm)]!;
    if (sorted.length === 0) return [];
    return [{ inMm, p10Mm: quantile(sorted, 0.1), medianMm: quantile(sorted, 0.5), p90Mm: quantile(sorted, 0.9) }];
  });
  return { stations, edgeAngleDeg: edgeAngle(profile.stationsMm, columns), profile };
}

/** Stations within this share of the thickest lie over the floor, where the edge has ended. */
const floorShare = 0.97;

/**
 * Edge angle 2 atan(k/2), k the slope of the line fitted to the medians from the rim to where the floor begins; null where
 * fewer than three stations lie before it: the rim is a step there, and has no taper.
 */
function edgeAngle(stationsMm: readonly number[], columns: readonly Float64Array[]): number | null {
  const samples = columns[0]?.length ?? 0;
  const medians = stationsMm
    .map((s, k) => ({ s, column: columns[k]! }))
    .filter(({ s, column }) => s <= fitToMm && column.length > 0 && column.length >= samples / 2)
    .map(({ s, column }) => ({ s, t: quantile(column, 0.5) }));
  const floorMm = floorShare * Math.max(...medians.map(({ t }) => t));
  const points = medians.slice(0, 1 + medians.findIndex(({ t }) => t >= floorMm));
  if (points.length < 3) return null;
  const meanS = points.reduce((sum, { s }) => sum + s, 0) / points.length;
  const meanT = points.reduce((sum, { t }) => sum + t, 0) / points.length;
  const slope =
    points.reduce((sum, { s, t }) => sum + (s - meanS) * (t - meanT), 0) /
    points.reduce((sum, { s }) => sum + (s - meanS) ** 2, 0);
  return (Math.max(0, 2 * Math.atan(slope / 2)) * 180) / Math.PI;
}

async function edgeProfile(body: MeasuredBody, task: TaskOptions): Promise<EdgeProfile> {
  const samples = rimSamples(body.fill);
  const count = samples.loop.length;
  const stationsMm = profileStationsMm;
  const thicknessMm = new Float64Array(memoryFor(task)(8 * count * stationsMm.length));
  const input = { ...rimTask(body, samples), stationsMm, thicknessMm };
  await inPieces(taperPieces, input, Math.ceil(count / chunkSamples), task);
  return { samples, stationsMm, thicknessMm: taken(thicknessMm) };
}

interface TaperTask extends RimTask {
  readonly stationsMm: readonly number[];
  readonly thicknessMm: Float64Array;
}

export const taperPieces: PieceWork<TaperTask, { input: TaperTask; body: RimBody }> = {
  name: 'edges',
  open: (input) => ({ input, body: openRim(input) }),
  take({ input: { samples, stationsMm, thicknessMm }, body }, piece) {
    const [from, to] = rangeOf(piece, chunkSamples, samples.loop.length);
    body.rim.forget();
    for (let i = from; i < to; i++) {
      for (let k = 0; k < stationsMm.length; k++) {
        const at = inwardPoint(body, samples, i, stationsMm[k]!);
        const t = at === null ? Number.NaN : ballUnderSurface(body, at[0], at[1]);
        thicknessMm[i * stationsMm.length + k] = t;
      }
    }
  },
};

function column(profile: EdgeProfile, k: number): Float64Array {
  const width = profile.stationsMm.length;
  return profile.thicknessMm.filter((t, i) => i % width === k && !Number.isNaN(t)).sort();
}
