import type { Finding } from '../base/finding.js';
import { distanceToLoops, indexLoops } from '../base/loop-index.js';
import { isInside } from '../base/plane-geometry.js';
import type { HollowSurface } from '../cavity/find-hollows.js';
import type { WallField } from '../cavity/wall-field.js';
import { type MendedMesh, type MeshPatch, spikesFlattened } from '../mesh/mend.js';
import type { Plate } from '../plate/find-plate.js';
import type { Cavity } from './collect-cavities.js';
import type { MeasuredHollow } from './measure-hollow.js';
import { integralUnderZero } from './volume.js';

/** What is wrong with one hollow's wall, or was mended there. */
export interface WallFlaws {
  readonly patches: readonly MeshPatch[];
  /** Single points that were laid into the surface, and what that did to the volume. */
  readonly spikes: { readonly count: number; readonly effectMm3: number };
  /** Standard deviation of the volume for the patches and the spikes, mm³. */
  readonly sigmaMm3: number;
  /** The wall ends under the scrape surface: the border of the scan or a hole that was left open runs through it. */
  readonly isTorn: boolean;
  /** The surface is glued to itself so that no side of it is the outside. */
  readonly isOneSided: boolean;
  /** It is a hole that was left open. */
  readonly hasHole: boolean;
  /** It is torn and goes no farther inward than the fringe of the plate's own side, as scanned in part. */
  readonly isPlateSide: boolean;
}

/** How wide a fringe along the plate's edge is its side and no cavity, mm (common practice, no source). */
const fringeMm = 3;

/** The flaws of each hollow, and what every repair did to all their volumes together, mm³. */
export function wallFlaws(
  plate: Plate,
  wall: WallField,
  surfaces: readonly HollowSurface[],
  mended: MendedMesh,
  limitMm: number,
): { flaws: WallFlaws[]; effectsMm3: (number | null)[] } {
  const { onBorder } = mended;
  const { triangles } = plate.mesh;
  const inFile = fileNumbers(plate);
  const patchAt = new Map<number, MeshPatch>();
  for (const patch of mended.patches) for (let t = patch.first; t < patch.end; t++) patchAt.set(t, patch);
  const effectsMm3 = mended.repairs.map(({ effect }) => (effect === null ? null : 0));
  const effectsOf = new Map<number, [repair: number, times: number][]>();
  mended.repairs.forEach(({ effect }, i) => {
    for (const [t, times] of effect ?? []) effectsOf.set(t, [...(effectsOf.get(t) ?? []), [i, times]]);
  });
  const spikeAt = new Map(mended.spikes.map((spike) => [spike.triangle, spike]));
  const oneSided = new Set(mended.oneSided);
  const ofSpikes = mended.repairs.findIndex(({ what }) => what === spikesFlattened);
  // A mould's surface faces away from its solid into the fill; what a positive gains the fill gains.
  const side = plate.form === 'sculpt' || plate.form === 'pieces' ? 1 : -1;
  const edge = indexLoops([plate.outline]);
  const { positions } = plate.mesh;
  const isDeep = (v: number) => wall.z[v]! < -limitMm;
  const goesIn = (v: number) => {
    const [x, y] = [positions[3 * v]!, positions[3 * v + 1]!];
    return isDeep(v) && isInside([plate.outline], x, y) && distanceToLoops(edge, x, y, fringeMm) >= fringeMm;
  };
  const flaws = surfaces.map((surface): WallFlaws => {
    const patches = new Set<MeshPatch>();
    const sigmas: number[] = [];
    const spikes = { count: 0, effectMm3: 0 };
    for (const t of effectsOf.size + spikeAt.size === 0 ? [] : surface.integral) {
      const own = inFile === null ? t : inFile[t]!;
      const spike = spikeAt.get(own);
      if (spike !== undefined) {
        spikes.count++;
        spikes.effectMm3 += side * spike.sweptMm3;
        sigmas.push(spike.sigmaMm3);
      }
      const effects = effectsOf.get(own);
      if (effects === undefined) continue;
      const { volumeMm3 } = integralUnderZero(plate.mesh, Uint32Array.of(t), wall);
      for (const [i, times] of effects) effectsMm3[i]! += times * volumeMm3;
      const patch = patchAt.get(own);
      if (patch !== undefined) patches.add(patch);
    }
    const isOneSided =
      oneSided.size > 0 && surface.integral.some((t) => oneSided.has(inFile === null ? t : inFile[t]!));
    let [isTorn, hasHole] = [false, false];
    for (const t of onBorder === null ? [] : surface.wall) {
      for (let k = 3 * t; k < 3 * t + 3; k++) {
        // Points of the patches came later.
        const border = onBorder![triangles[k]!] ?? 0;
        if (border === 0 || !isDeep(triangles[k]!)) continue;
        isTorn = true;
        if (border === 2) hasHole = true;
      }
    }
    if (ofSpikes >= 0) effectsMm3[ofSpikes]! += spikes.effectMm3;
    for (const { volumeSigma } of patches) sigmas.push(volumeSigma);
    const sigmaMm3 = Math.hypot(...sigmas);
    const isPlateSide = isTorn && !surface.wall.some((t) => [0, 1, 2].some((k) => goesIn(triangles[3 * t + k]!)));
    return { patches: [...patches], spikes, sigmaMm3, isTorn, isOneSided, hasHole, isPlateSide };
  });
  return { flaws, effectsMm3 };
}

/** Per triangle of the plate's mesh its number before loose pieces were laid out; null where they are the same. */
function fileNumbers({ pieces }: Plate): Uint32Array | null {
  if (pieces === undefined) return null;
  const numbers = new Uint32Array(pieces.reduce((sum, { own }) => sum + own.length, 0));
  let at = 0;
  for (const { own } of pieces) {
    numbers.set(own, at);
    at += own.length;
  }
  return numbers;
}

/** A volume that its patches leave in more doubt than this, twice their standard deviation, is none (common practice). */
const mostDoubt = 0.25;
/** Less doubt than both of these is only noted: a share, and about 0.2 g of silicone, mm³. */
const leastDoubt = { share: 0.02, mm3: 200 };

/** A measured hollow with what its flaws make of its figures. */
export function withFlaws(hollow: MeasuredHollow, flaws: WallFlaws): MeasuredHollow {
  if (flaws.patches.length + flaws.spikes.count === 0 && !flaws.isTorn && !flaws.isOneSided) return hollow;
  const { volumeMm3, volumeUncertaintyMm3 } = hollow;
  const isLost = flaws.isTorn || flaws.isOneSided || (volumeMm3 !== null && 2 * flaws.sigmaMm3 > mostDoubt * volumeMm3);
  if (isLost) {
    // What is left round a hole may be narrow: without a rim nobody takes it for a mark that may be left out.
    const noRim = { rimLoops: [], openingAreaMm2: null, rimLengthMm: null, wallAreaMm2: null, shapeMm: null };
    const isLeft = flaws.isTorn && !flaws.hasHole;
    const unknown = { volumeMm3: null, volumeCheckMm3: null, volumeUncertaintyMm3: null, body: null };
    return { ...hollow, ...(isLeft ? {} : noRim), ...unknown, flaws };
  }
  const sigma = volumeUncertaintyMm3 === null ? null : Math.hypot(volumeUncertaintyMm3, flaws.sigmaMm3);
  return { ...hollow, flaws, volumeUncertaintyMm3: sigma };
}

/** What the flaws of the walls mean for each cavity. */
export function flawFindings(cavities: readonly Cavity[]): Finding[] {
  return cavities.flatMap(({ number, flaws, volumeMm3, centreMm }): Finding[] => {
    if (flaws === undefined) return [];
    const about = { cavity: number, atMm: [centreMm[0], centreMm[1], 0] as const };
    if (flaws.isTorn) {
      return [
        {
          code: 'wall-torn',
          severity: 'stop',
          message: `Cavity ${number} is cut by the border of the surface, or by a hole too wide to be filled: what lies beyond is not known, and it has no volume. Scan all of it, with some land round it.`,
          ...about,
        },
      ];
    }
    if (flaws.isOneSided) {
      return [
        {
          code: 'wall-one-sided',
          severity: 'stop',
          message: `Cavity ${number} has a wall that is glued to itself like a twisted ribbon: which side of it is the outside cannot be told, and it has no volume. Repair it in the program it comes from, or scan it again.`,
          ...about,
        },
      ];
    }
    const { spikes } = flaws;
    const pointed: Finding = {
      code: 'spikes-flattened',
      severity: 'note',
      message: `Cavity ${number}: ${spikes.count === 1 ? 'a single point' : `${spikes.count} single points`} far off the surface ${spikes.count === 1 ? 'was' : 'were'} laid into it, ${spikes.effectMm3 < 0 ? '' : '+'}${spikes.effectMm3.toPrecision(2)} mm³: a scanner's or an export's error. A sharp tip that is really there needs more points than one.`,
      ...about,
    };
    const found = spikes.count > 0 ? [pointed] : [];
    if (flaws.patches.length === 0) return found;
    const count = flaws.patches.length === 1 ? 'a hole' : `${flaws.patches.length} holes`;
    const widest = Math.max(...flaws.patches.map(({ span }) => span)).toFixed(1);
    if (volumeMm3 === null) {
      return [
        {
          code: 'wall-missing',
          severity: 'stop',
          message: `Cavity ${number} has ${count} in its wall, up to ${widest} mm across, and too little round it to tell what was there: it has no volume that can be trusted. Scan it again.`,
          ...about,
        },
        ...found,
      ];
    }
    const doubt = 2 * flaws.sigmaMm3;
    const isSmall = doubt < leastDoubt.share * volumeMm3 || doubt < leastDoubt.mm3;
    return [
      {
        code: 'hole-filled',
        severity: isSmall ? 'note' : 'caution',
        message: `Cavity ${number}: ${count} in its wall, up to ${widest} mm across, ${flaws.patches.length === 1 ? 'was' : 'were'} filled from the surface round ${flaws.patches.length === 1 ? 'it' : 'them'}. The volume may be off by ${doubt.toPrecision(2)} mm³ for it${isSmall ? '' : ': scan the place again, or weigh a first pull'}.`,
        ...about,
      },
      ...found,
    ];
  });
}
