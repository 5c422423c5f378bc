import type { UndercutRecord } from '../base/survey-document.js';
import type { FillBody } from '../cavity/fill-body.js';
import type { Columns } from './columns.js';
import { neckAndStretch } from './neck.js';
import { columnOfRuns, forEachTouching } from './neighbour-runs.js';
import { distanceToMarked } from './plan-distance.js';
import { UnionFind } from './union-find.js';

export interface Undercut extends UndercutRecord {
  /** The hidden parts, largest first: volume and a place in each. */
  readonly parts: readonly { volumeMm3: number; atMm: [number, number, number] }[];
}

export const noUndercut: Undercut = { volumeMm3: 0, overhangMm: 0, neckMm: null, stretchPct: 0, parts: [] };

/** Walls steeper than this may hang over by their own roughness: sine of 15 degrees. */
const uprightTilt = 0.26;

/**
 * A mesh without noise still has facets; walls count as sure to this, mm. Under noise they count as sure to three times
 * it: what hides is the wall below the highest bulge, not below the mean.
 */
const facetMm = 0.002;
const noiseShare = 3;

/**
 * Fill that is hidden from straight above. A hidden volume under its own uncertainty counts as none: that is the area of
 * the nearly upright walls times the wall's uncertainty.
 */
export function undercut(body: FillBody, columns: Columns): Undercut {
  const { bottomMm, topMm, isOpen, stepMm } = columns;
  const sets = new UnionFind(topMm.length);
  forEachTouching(columns, (run, other) => {
    if (isOpen[run] === 0 && isOpen[other] === 0) sets.join(run, other);
  });
  const columnOf = columnOfRuns(columns);
  const volumes = new Map<number, number>();
  for (let run = 0; run < topMm.length; run++) {
    if (isOpen[run] === 1) continue;
    const root = sets.find(run);
    volumes.set(root, (volumes.get(root) ?? 0) + (topMm[run]! - bottomMm[run]!) * stepMm * stepMm);
  }
  const total = [...volumes.values()].reduce((sum, v) => sum + v, 0);
  const unsure = uprightArea(body) * Math.max(facetMm, noiseShare * body.noiseMm);
  if (total <= unsure) return noUndercut;

  // Crumbs beside the real parts are roughness as well.
  const isPart = (root: number) => volumes.get(root)! > Math.min(unsure, total / 4);
  const isHidden = (run: number) => isOpen[run] === 0 && isPart(sets.find(run));
  const parts = [...volumes]
    .filter(([root]) => isPart(root))
    .sort(([, a], [, b]) => b - a)
    .map(([root, volumeMm3]) => ({
      volumeMm3,
      atMm: columns.place(columnOf[root]!, (topMm[root]! + bottomMm[root]!) / 2),
    }));
  const { neckMm, stretchPct } = neckAndStretch(body);
  return { volumeMm3: total, overhangMm: overhang(columns, isHidden), neckMm, stretchPct, parts };
}

function uprightArea(body: FillBody): number {
  const { positions: p, triangles } = body;
  let area = 0;
  for (let i = 0; i < 3 * body.wallTriangles; i += 3) {
    const [a, b, c] = [3 * triangles[i]!, 3 * triangles[i + 1]!, 3 * triangles[i + 2]!];
    const [ux, uy, uz] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
    const [vx, vy, vz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
    const nz = ux * vy - uy * vx;
    const twice = Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, nz);
    if (Math.abs(nz) <= uprightTilt * twice) area += twice / 2;
  }
  return area;
}

/** How far the hidden part reaches in plan from where the body lies open to above all the way down. */
function overhang(columns: Columns, isHidden: (run: number) => boolean): number {
  const { starts, isOpen, across, along, stepMm } = columns;
  const clear = new Uint8Array(across * along);
  const hidden = new Uint8Array(across * along);
  for (let c = 0; c < clear.length; c++) {
    for (let run = starts[c]!; run < starts[c + 1]!; run++) {
      if (isOpen[run] === 1) clear[c] = 1;
      if (isHidden(run)) hidden[c] = 1;
    }
    if (hidden[c] === 1) clear[c] = 0;
  }
  const distance = distanceToMarked(clear, across, along);
  const farthest = distance.reduce((most, d, c) => (hidden[c] === 1 && d < Infinity && d > most ? d : most), 0);
  return farthest * stepMm;
}
