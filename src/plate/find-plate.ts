import { inBatches } from '../base/batches.js';
import { GrowingFloat64 } from '../base/growing.js';
import { convexHull } from '../base/plane-geometry.js';
import type { PlateForm } from '../base/survey-document.js';
import type { FaceSums } from '../mesh/face-sums.js';
import { applyInPlace, applyToPoint, axesAround, compose, dot, intoFrame, type Vec3 } from '../mesh/rigid.js';
import { boxSides, type TriangleMesh } from '../mesh/triangle-mesh.js';
import { choosePlane } from './choose-plane.js';
import { checkTriangles, noPlate } from './faults.js';
import { fitBow } from './fit-bow.js';
import type { LaidPiece } from './laid-piece.js';
import { type LandCells, landCells } from './land-cells.js';
import { fitLand, type LandPlane, levelPlane } from './land-fit.js';
import { layPieces } from './lay-pieces.js';
import { level } from './level.js';
import { originCorner, plateAxes, smallestRectangle } from './plate-frame.js';
import { flatSurface, roundingMm, type ScrapeSurface } from './scrape-surface.js';
import { sampleSurface } from './surface-sample.js';

/** The plate found in a mesh, and the mesh moved into its frame. */
export interface Plate {
  readonly form: PlateForm;
  /** Why this form: one line for the person. */
  readonly formReason: string;
  readonly lengthMm: number;
  readonly widthMm: number;
  /** Rigid motion from the file's millimetres to the plate frame, column-major. */
  readonly toPlate: number[];
  /** The land's outline as a convex polygon in the plate frame, counter-clockwise. */
  readonly outline: Float64Array;
  /** Robust standard deviation of the land's vertices from the scrape surface, mm. */
  readonly landSigmaMm: number;
  /** Height of each vertex over the land's plane, before the scrape surface was subtracted, mm. */
  readonly flatZ: Float64Array;
  readonly scrape: ScrapeSurface;
  /** Loose pieces: how each was laid. They have no land and no plate; the outline is free room round them. */
  readonly pieces?: readonly LaidPiece[];
  /** Spacing of representable coordinates at the mesh's extent, mm. */
  readonly coordinateStepMm: number;
  /** The mesh in the plate frame, its z over the scrape surface; its surface faces up out of the mould, in every form. */
  readonly mesh: TriangleMesh;
}

/**
 * Finds the land, whatever the position and orientation of the plate, and moves the mesh into the plate frame.
 * The mesh's positions are changed in place.
 * @param mesh in millimetres
 * @param faces of the mesh, where they are known
 * @throws Fault `too-few-triangles`, `no-plate`, `no-cavities`
 */
export function findPlate(
  mesh: TriangleMesh,
  coordinateStepMm: number,
  asked: PlateChoices = {},
  faces?: FaceSums,
): Plate {
  checkTriangles(mesh.triangles.length / 3);
  const sample = sampleSurface(mesh, 4000, faces);
  const diagonal = Math.hypot(...boxSides(mesh.positions));
  const tolerance = Math.max(0.3, diagonal * 0.002);
  const choice = choosePlane(mesh, sample, tolerance, asked.form);
  if (choice.form === 'pieces') return layPlate(mesh, coordinateStepMm, choice.reason);
  const { plane, form, reason } = choice;

  const z: Vec3 = plane.normal;
  const axes = { ...axesAround(z), z };
  const provisional = intoFrame(axes.x, axes.y, z, [z[0] * plane.offset, z[1] * plane.offset, z[2] * plane.offset]);
  applyInPlace(provisional, mesh.positions);
  const floor = Math.max(8 * coordinateStepMm, 2e-6 * diagonal);
  const land = fitLand(mesh, levelPlane, tolerance, floor, undefined, sample.large.triangles);
  if (land === null) throw noPlate();
  const levelling = level(land);
  applyInPlace(levelling, mesh.positions);
  let toPlate = compose(levelling, provisional);

  // Positives are turned face down: half a turn about a line in the plane, and their surface then faces out of a mould.
  if (form === 'sculpt') {
    const over = [1, 0, 0, 0, 0, -1, 0, 0, 0, 0, -1, 0, 0, 0, 0, 1];
    applyInPlace(over, mesh.positions);
    toPlate = compose(over, toPlate);
    turnInsideOut(mesh.triangles);
  }

  const bow = asked.scrape === 'flat' ? null : firstBow(mesh, land, tolerance, sample.large.triangles);
  const sigma = bow?.sigma ?? land.sigma;
  const hull = landHull(mesh, bow?.surface ?? flatSurface, Math.max(floor, 4 * sigma));
  const rectangle = smallestRectangle(hull);
  const frameAxes = {
    x: [toPlate[0]!, toPlate[4]!, toPlate[8]!] as Vec3,
    y: [toPlate[1]!, toPlate[5]!, toPlate[9]!] as Vec3,
    z: [toPlate[2]!, toPlate[6]!, toPlate[10]!] as Vec3,
  };
  const frame = plateAxes(rectangle, frameAxes);
  const corner = originCorner(rectangle, frameAxes, frame);
  const along: Vec3 = [dot(frame.x, frameAxes.x), dot(frame.x, frameAxes.y), 0];
  const turn = intoFrame(along, [-along[1], along[0], 0], [0, 0, 1], [corner[0], corner[1], 0]);
  applyInPlace(turn, mesh.positions);
  const outline = new Float64Array(hull.length);
  for (let i = 0; i < hull.length; i += 2) {
    const [x, y] = applyToPoint(turn, [hull[i]!, hull[i + 1]!, 0]);
    outline[i] = x;
    outline[i + 1] = y;
  }
  const flatZ = heights(mesh);
  const scrape = bow === null ? flatSurface : turnedSurface(bow.surface, turn);
  lowerTo(mesh, flatZ, scrape);
  return {
    form,
    formReason: reason,
    lengthMm: frame.lengthMm,
    widthMm: frame.widthMm,
    toPlate: compose(turn, toPlate),
    outline,
    landSigmaMm: sigma,
    flatZ,
    scrape,
    coordinateStepMm,
    mesh,
  };
}

/** Loose pieces as a plate without land. */
function layPlate(mesh: TriangleMesh, coordinateStepMm: number, formReason: string): Plate {
  const { pieces, laid } = layPieces(mesh, coordinateStepMm);
  const far = 1e4;
  return {
    form: 'pieces',
    formReason,
    lengthMm: Math.max(...pieces.map(({ lengthMm, offsetMm }) => lengthMm + offsetMm[0])),
    widthMm: Math.max(...pieces.map(({ widthMm }) => widthMm)),
    toPlate: pieces[0]!.toPiece,
    outline: Float64Array.of(-far, -far, far, -far, far, far, -far, far),
    landSigmaMm: Math.max(...pieces.map(({ sigmaMm }) => sigmaMm)),
    flatZ: heights(laid),
    scrape: flatSurface,
    pieces,
    coordinateStepMm,
    mesh: laid,
  };
}

export interface PlateChoices {
  readonly form?: PlateForm | undefined;
  readonly scrape?: 'flat' | 'bowed' | undefined;
}

function heights(mesh: TriangleMesh): Float64Array {
  const z = new Float64Array(mesh.positions.length / 3);
  for (let v = 0; v < z.length; v++) z[v] = mesh.positions[3 * v + 2]!;
  return z;
}

/** Gives the mesh its heights over a scrape surface. */
export function lowerTo(mesh: TriangleMesh, flatZ: Float64Array, scrape: ScrapeSurface): void {
  const { positions } = mesh;
  for (let v = 0; v < flatZ.length; v++) {
    const bow = scrape.kind === 'flat' ? 0 : scrape.heightAt(positions[3 * v]!, positions[3 * v + 1]!);
    positions[3 * v + 2] = flatZ[v]! - bow;
  }
}

/** A bow that takes less than this off the land's deviation is not one. */
const leastGain = 0.75;
/** A plane that holds less than this share of the level surface is no land, but a strip of a bowed one. */
const leastPlaneShare = 0.6;

/** The bow of a land whose cavities are not known yet; null where a plane is as good. */
function firstBow(mesh: TriangleMesh, plane: LandPlane, tolerance: number, large: Uint32Array) {
  const isStrip = plane.area < leastPlaneShare * plane.wideArea;
  if (plane.sigma < roundingMm && !isStrip) return null;
  const z = heights(mesh);
  const cells = landCells(mesh, z, 2.5 * tolerance, null);
  const surface = fitBow(cells, true);
  if (surface === null || !followsCells(surface, cells)) return null;
  lowerTo(mesh, z, surface);
  const rest = fitLand(mesh, levelPlane, tolerance, roundingMm, undefined, large);
  lowerTo(mesh, z, flatSurface);
  if (rest === null) return null;
  const isBetter = isStrip ? rest.area > 1.2 * plane.area : rest.sigma < leastGain * plane.sigma;
  return isBetter ? { surface, sigma: rest.sigma } : null;
}

/** Whether the land's cells lie closer to a surface than to the plane: looked at first, since it costs next to nothing. */
function followsCells(surface: ScrapeSurface, { x, y, z }: LandCells): boolean {
  const median = (rests: Float64Array) => rests.map(Math.abs).sort()[rests.length >> 1]!;
  return median(z.map((height, i) => height - surface.heightAt(x[i]!, y[i]!))) < leastGain * median(z);
}

/** A surface seen from a frame that was moved in plan. */
function turnedSurface(surface: ScrapeSurface, turn: readonly number[]): ScrapeSurface {
  const [c, s, x, y] = [turn[0]!, turn[1]!, turn[12]!, turn[13]!];
  return {
    kind: surface.kind,
    heightAt: (px, py) => surface.heightAt(c * (px - x) + s * (py - y), -s * (px - x) + c * (py - y)),
  };
}

function turnInsideOut(triangles: Uint32Array): void {
  for (let t = 0; t < triangles.length; t += 3) {
    const keep = triangles[t + 1]!;
    triangles[t + 1] = triangles[t + 2]!;
    triangles[t + 2] = keep;
  }
}

/** Convex hull of the corners of the triangles that lie in the land and face up. */
function landHull(mesh: TriangleMesh, scrape: ScrapeSurface, band: number): Float64Array {
  const { positions: p, triangles } = mesh;
  // Asked once a vertex, not once a corner.
  const isNear = new Uint8Array(p.length / 3);
  inBatches(isNear.length, (from, to) => flagNear(p, scrape, band, from, to, isNear));
  const isLand = new Uint8Array(p.length / 3);
  inBatches(triangles.length, (from, to) => flagLand(mesh, isNear, from, to, isLand), 3);
  const xs = new GrowingFloat64();
  const ys = new GrowingFloat64();
  inBatches(isLand.length, (from, to) => gather(p, isLand, from, to, xs, ys));
  return convexHull(xs.take(), ys.take());
}

/** The places in plan of the flagged ones among some vertices. */
function gather(
  p: Float64Array,
  flags: Uint8Array,
  from: number,
  to: number,
  xs: GrowingFloat64,
  ys: GrowingFloat64,
): void {
  for (let v = from; v < to; v++) {
    if (flags[v] === 0) continue;
    xs.push(p[3 * v]!);
    ys.push(p[3 * v + 1]!);
  }
}

function flagNear(
  p: Float64Array,
  scrape: ScrapeSurface,
  band: number,
  from: number,
  to: number,
  flags: Uint8Array,
): void {
  for (let v = from; v < to; v++) {
    const bow = scrape.kind === 'flat' ? 0 : scrape.heightAt(p[3 * v]!, p[3 * v + 1]!);
    flags[v] = Math.abs(p[3 * v + 2]! - bow) <= band ? 1 : 0;
  }
}

/** Flags the corners of the triangles that have only near ones and face up. */
function flagLand(
  { positions: p, triangles }: TriangleMesh,
  isNear: Uint8Array,
  from: number,
  to: number,
  flags: Uint8Array,
): void {
  for (let t = from; t < to; t += 3) {
    const va = triangles[t]!;
    const vb = triangles[t + 1]!;
    const vc = triangles[t + 2]!;
    if (isNear[va] === 0 || isNear[vb] === 0 || isNear[vc] === 0) continue;
    const a = 3 * va;
    const b = 3 * vb;
    const c = 3 * vc;
    if ((p[b]! - p[a]!) * (p[c + 1]! - p[a + 1]!) - (p[c]! - p[a]!) * (p[b + 1]! - p[a + 1]!) <= 0) continue;
    flags[va] = flags[vb] = flags[vc] = 1;
  }
}
