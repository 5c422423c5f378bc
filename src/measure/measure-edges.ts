import type { Finding } from '../base/finding.js';
import type { TaskOptions } from '../base/source.js';
import type { AirTrapRecord, ThicknessRecord, ThinZoneRecord, UndercutRecord } from '../base/survey-document.js';
import type { FillBody } from '../cavity/fill-body.js';
import { type AirPocket, airTraps } from './air-traps.js';
import { columnsOf } from './columns.js';
import { edgeFindings } from './edge-findings.js';
import { type EdgeSettings, edgeDefaults, tearThicknessMm } from './edge-settings.js';
import { liftPoint } from './lift-point.js';
import { type MeasuredBody, measureBody } from './measured-body.js';
import { narrowHollows } from './narrow-hollows.js';
import { type EdgeProfile, edgeTaper } from './taper.js';
import { type ThicknessMap, thicknessMap, thicknessSummary } from './thickness.js';
import { type ThinZone, thinZones } from './thin-zones.js';
import { noUndercut, type Undercut, undercut } from './undercut.js';

export interface EdgeMeasures {
  readonly thickness: ThicknessRecord;
  readonly thinZones: ThinZoneRecord[];
  readonly undercut: UndercutRecord;
  readonly airTraps: AirTrapRecord[];
  readonly liftPointMm: [number, number, number] | null;
  /** Without the cavity's number, which only the caller knows. */
  readonly findings: Finding[];
  /** For pictures and exports. */
  readonly map: ThicknessMap;
  readonly profile: EdgeProfile;
  readonly zones: readonly ThinZone[];
  readonly limits: EdgeLimits;
}

/** What the edge is held against, mm. */
export interface EdgeLimits {
  /** Thinner than this it tears. */
  readonly tearMm: number;
  /** Thicker than this a quarter of a millimetre in, it shows. */
  readonly rimStepMm: number;
}

/** The columns that undercuts and air are measured with: about this many, no finer than this. */
const mostColumns = 120_000;
const leastStepMm = 0.05;

/** Everything about one fill body that has to do with its thickness, its edges, air and lifting. */
export async function measureEdges(
  fill: FillBody,
  settings: EdgeSettings = {},
  task: TaskOptions = {},
): Promise<EdgeMeasures> {
  const body = await measureBody(fill, settings.featherMm, task);
  const sampling = Promise.all([thicknessMap(body, task), edgeTaper(body, task)]);
  const { hidden, traps } = underWall(body);
  const [map, { stations, edgeAngleDeg, profile }] = await sampling;
  const isUndercut = hidden.volumeMm3 > 0 && (hidden.stretchPct ?? 0) > 0;
  const tearMm = tearThicknessMm(settings, isUndercut);
  const isPulledHard = isUndercut && settings.pullN === undefined;
  const zoning = thinZones(body, map, profile.samples, tearMm, task);
  const summary = thicknessSummary(body, map);
  const hollows = narrowHollows(body, map);
  const found = await zoning;
  // Inside a barrier the silicone's edge carries nothing.
  const isCarried = settings.way === 'encapsulated';
  const zones = isCarried ? found.map((zone) => ({ ...zone, isPast: zone.inner })) : found;
  const lift = liftPoint(body, profile, hidden, tearMm, settings.way ?? edgeDefaults.way);
  return {
    thickness: { ...summary, edgeAngleDeg, taper: stations },
    thinZones: zones.map(({ areaMm2, reachMm, rimSpanMm, minMm, inner, atMm }) => {
      return { areaMm2, reachMm, rimSpanMm, minMm, inner, atMm };
    }),
    undercut: {
      volumeMm3: hidden.volumeMm3,
      overhangMm: hidden.overhangMm,
      neckMm: hidden.neckMm,
      stretchPct: hidden.stretchPct,
    },
    airTraps: traps.map(({ volumeMm3, atMm }) => ({ volumeMm3, atMm })),
    liftPointMm: lift === null ? null : lift.atMm,
    findings: edgeFindings(
      { body, profile, tearMm, isPulledHard, zones, undercut: hidden, traps, hollows, lift },
      settings,
    ),
    map,
    profile,
    zones,
    limits: { tearMm, rimStepMm: settings.rimStepMm ?? edgeDefaults.rimStepMm },
  };
}

/** Undercut and trapped air; a body without wall that looks down has neither, and needs no columns. */
function underWall({ fill, normals, wall }: MeasuredBody): { hidden: Undercut; traps: AirPocket[] } {
  let looksDown = false;
  for (let f = 0; f < fill.wallTriangles && !looksDown; f++) looksDown = normals[3 * f + 2]! < -1e-6;
  if (!looksDown) return { hidden: noUndercut, traps: [] };
  const columns = columnsOf(fill, mostColumns, leastStepMm);
  return { hidden: undercut(fill, columns), traps: airTraps(columns, fill.noiseMm, wall) };
}
