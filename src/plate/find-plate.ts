import { Fault } from '../base/fault.js';
import { convexHull } from '../base/plane-geometry.js';
import type { PlateForm } from '../base/survey-document.js';
import { applyInPlace, applyToPoint, axesAround, compose, intoFrame, type Vec3 } from '../mesh/rigid.js';
import { isOneShell } from '../mesh/shells.js';
import { boxSides, type TriangleMesh } from '../mesh/triangle-mesh.js';
import { type CandidatePlane, candidatePlanes } from './candidate-planes.js';
import { hasCarrier } from './carrier.js';
import { fitBow } from './fit-bow.js';
import { type LandCells, landCells } from './land-cells.js';
import { fitLand, type LandPlane } from './land-fit.js';
import { type LaidPiece, layPieces } from './lay-pieces.js';
import { landInsideDam, leftOut } from './left-out.js';
import { level } from './level.js';
import { originCorner, plateAxes, smallestRectangle } from './plate-frame.js';
import { flatSurface, roundingMm, type ScrapeSurface } from './scrape-surface.js';
import { type SurfaceSample, sampleSurface } from './surface-sample.js';
import { type TopView, topView } from './top-view.js';

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

/** Least share of the surface that a land must have. */
const leastLandShare = 0.03;

/**
 * Finds the land, whatever the position and orientation of the plate, and moves the mesh into the plate frame.
 * The mesh's positions are changed in place.
 * @param mesh in millimetres
 * @throws Fault `no-plate`, `no-cavities`
 */
export function findPlate(mesh: TriangleMesh, coordinateStepMm: number, asked: PlateChoices = {}): Plate {
  const sample = sampleSurface(mesh, 4000);
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
  const land = fitLand(mesh, { slopeX: 0, slopeY: 0, height: 0 }, tolerance, floor);
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

  const bow = asked.scrape === 'flat' ? null : firstBow(mesh, land, tolerance);
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
  const along: Vec3 = [inner(frame.x, frameAxes.x), inner(frame.x, frameAxes.y), 0];
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
function firstBow(mesh: TriangleMesh, plane: LandPlane, tolerance: number) {
  const isStrip = plane.area < leastPlaneShare * plane.wideArea;
  if (plane.sigma < roundingMm && !isStrip) return null;
  const z = heights(mesh);
  const cells = landCells(mesh, z, 2.5 * tolerance, null);
  const surface = fitBow(cells, true);
  if (surface === null || !followsCells(surface, cells)) return null;
  lowerTo(mesh, z, surface);
  const rest = fitLand(mesh, { slopeX: 0, slopeY: 0, height: 0 }, tolerance, roundingMm);
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

/** A block on a table: the table is the larger plane, but the block's top stands level above it and holds hollows. */
function plateauOn<T extends { plane: CandidatePlane; view: TopView }>(table: T, looked: readonly T[]): T | undefined {
  if (table.view.raisedArea + table.view.raisedBorderArea <= table.view.hollowArea) return undefined;
  return looked.find(
    ({ plane, view }) =>
      inner(plane.normal, table.plane.normal) > 0.98 &&
      plane.offset - table.plane.offset > 1 &&
      // a few flat tops of pieces that happen to share a plane hold no hollows to speak of
      view.hollowArea > view.raisedArea &&
      view.landArea > 0.25 * (table.view.raisedArea + table.view.raisedBorderArea),
  );
}

interface PlaneChoice {
  plane: CandidatePlane & { readonly sigma: number };
  view: TopView;
  form: PlateForm;
  reason: string;
}

type Choice = PlaneChoice | { form: 'pieces'; reason: string };

function choosePlane(mesh: TriangleMesh, sample: SurfaceSample, tolerance: number, asked?: PlateForm): Choice {
  if (asked === 'pieces') return { form: 'pieces', reason: 'read as pieces, as asked' };
  const isLoose = () => asked === undefined && isClosed(sample) && !isOneShell(mesh);
  try {
    const choice = choosePlate(mesh, sample, tolerance, asked);
    if (!isLoose() || hasCarrier(mesh, choice.plane)) return choice;
  } catch (error) {
    if (!isLoose()) throw error;
  }
  return { form: 'pieces', reason: 'loose closed bodies without a board: each flat back is an opening' };
}

function choosePlate(mesh: TriangleMesh, sample: SurfaceSample, tolerance: number, asked?: PlateForm): PlaneChoice {
  const planes = candidatePlanes(sample, tolerance, 8, leastLandShare)
    .map((plane) => refine(plane, sample, tolerance))
    .filter((plane) => plane.share >= leastLandShare);
  if (planes.length === 0) throw noPlate();
  const largest = Math.max(...planes.map((plane) => plane.share));
  const relief = (view: TopView) => view.hollowArea + view.raisedArea;
  const looked = lookOn(mesh, planes);
  // The land shuts its hollows in; the back and the sides of a block show nothing but themselves.
  const shown = ({ view }: { view: TopView }) => (relief(view) > 0 ? view.landArea + relief(view) : 0);
  let best = largestBy(looked, shown);
  if (best !== undefined) {
    // Candidates of one land show the same to a few cells: the one that lies on it most closely is the land.
    const alike = looked.filter(
      (look) => shown(look) > 0.98 * shown(best!) && relief(look.view) > 0.5 * relief(best!.view),
    );
    best = largestBy(alike, ({ plane }) => -plane.sigma) ?? best;
  }
  if (best === undefined || relief(best.view) === 0) {
    best = largestBy(looked, ({ view }) => Math.min(view.lowBorderArea, view.landArea));
    if (best === undefined || best.view.lowBorderArea === 0 || best.plane.share < 0.1) {
      throw largest > 0.15 ? noCavities() : noPlate();
    }
  }
  best = landInsideDam(best, looked) ?? plateauOn(best, looked) ?? best;
  const { view } = best;
  const closed = isClosed(sample);
  const raised = view.raisedArea > view.hollowArea;
  const form: PlateForm = asked ?? (raised ? 'sculpt' : closed ? 'mould' : 'scan');
  const reason =
    asked !== undefined
      ? `read as ${asked}, as asked`
      : raised
        ? 'pieces stand on a board: read as a sculpt and turned face down'
        : closed
          ? 'a closed block with hollows in one face: read as a mould'
          : 'an open surface with hollows: read as a scan of the plate';
  return { ...best, form, reason: reason + leftOut(mesh, best.plane, form, closed) };
}

/** A plane that shows less than this share of what another shows in a coarse view is no land: the side of a block, say. */
const leastShown = 0.2;

/** Views of a large mesh cost time: a coarse one of every plane tells which ones are worth a fine one. */
function lookOn<P extends CandidatePlane & { readonly sigma: number }>(mesh: TriangleMesh, planes: readonly P[]) {
  const look = (plane: P, size?: number) => topView(mesh, plane, Math.max(reliefMm, 3 * plane.sigma), size);
  const shown = (view: TopView) => view.landArea + view.hollowArea + view.raisedArea;
  const coarse = planes.map((plane) => ({ plane, view: look(plane, 80) }));
  const most = Math.max(...coarse.map(({ view }) => shown(view)));
  const looked = coarse.map(({ plane, view }) => ({
    plane,
    view: shown(view) >= leastShown * most ? look(plane) : view,
  }));
  const isPlain = looked.every(({ view }) => view.hollowArea + view.raisedArea === 0);
  return isPlain ? planes.map((plane) => ({ plane, view: look(plane) })) : looked;
}

/** Relief under this is not told from a plane when the land is looked for, mm. */
const reliefMm = 0.12;

function largestBy<T>(items: readonly T[], value: (item: T) => number): T | undefined {
  let best: T | undefined;
  for (const item of items) if (best === undefined || value(item) > value(best)) best = item;
  return best;
}

/**
 * Fits a candidate to the sample points on it, a few times, so that its tilt is far under the relief it must show.
 * @returns the plane, and the robust standard deviation of the points from it
 */
function refine(
  plane: CandidatePlane,
  sample: SurfaceSample,
  tolerance: number,
): CandidatePlane & { readonly sigma: number } {
  let { normal, offset } = plane;
  let band = tolerance;
  let share = plane.share;
  let sigma = 0;
  for (let round = 0; round < 8; round++) {
    const { x, y } = axesAround(normal);
    const s = new Float64Array(9);
    const rests: number[] = [];
    for (let i = 0; i < 3 * sample.count; i += 3) {
      const px = sample.points[i]!;
      const py = sample.points[i + 1]!;
      const pz = sample.points[i + 2]!;
      const r = normal[0] * px + normal[1] * py + normal[2] * pz - offset;
      if (Math.abs(r) > band) continue;
      const [nx, ny, nz] = [sample.normals[i]!, sample.normals[i + 1]!, sample.normals[i + 2]!];
      if (normal[0] * nx + normal[1] * ny + normal[2] * nz < 0.5) continue;
      rests.push(Math.abs(r));
      const u = x[0] * px + x[1] * py + x[2] * pz;
      const v = y[0] * px + y[1] * py + y[2] * pz;
      s[0]! += 1;
      s[1]! += u;
      s[2]! += v;
      s[3]! += u * u;
      s[4]! += u * v;
      s[5]! += v * v;
      s[6]! += r;
      s[7]! += u * r;
      s[8]! += v * r;
    }
    const n = s[0]!;
    if (n < 10) break;
    share = n / sample.count;
    const cuu = s[3]! - (s[1]! * s[1]!) / n;
    const cuv = s[4]! - (s[1]! * s[2]!) / n;
    const cvv = s[5]! - (s[2]! * s[2]!) / n;
    const cur = s[7]! - (s[1]! * s[6]!) / n;
    const cvr = s[8]! - (s[2]! * s[6]!) / n;
    const det = cuu * cvv - cuv * cuv;
    if (!(det > 1e-12 * cuu * cvv)) break;
    const a = (cur * cvv - cvr * cuv) / det;
    const b = (cvr * cuu - cur * cuv) / det;
    const height = (s[6]! - a * s[1]! - b * s[2]!) / n;
    // r = a u + b v + height on the plane: the plane normal · p - a x · p - b y · p = offset + height.
    const next: Vec3 = [
      normal[0] - a * x[0] - b * y[0],
      normal[1] - a * x[1] - b * y[1],
      normal[2] - a * x[2] - b * y[2],
    ];
    const size = Math.hypot(...next);
    normal = [next[0] / size, next[1] / size, next[2] / size];
    offset = (offset + height) / size;
    const sorted = Float64Array.from(rests).sort();
    sigma = 1.4826 * sorted[sorted.length >> 1]!;
    band = Math.max(0.01, Math.min(band, 4 * sigma));
  }
  return { normal, offset, share, sigma };
}

function inner(a: Vec3, b: Vec3): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

/** The vector areas of a closed surface add to nothing; those of an open one add to its opening. */
function isClosed({ openArea, totalArea }: SurfaceSample): boolean {
  return openArea < 1e-3 * totalArea;
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
  for (let v = 0, at = 0; v < isNear.length; v++, at += 3) {
    const bow = scrape.kind === 'flat' ? 0 : scrape.heightAt(p[at]!, p[at + 1]!);
    isNear[v] = Math.abs(p[at + 2]! - bow) <= band ? 1 : 0;
  }
  const isLand = new Uint8Array(p.length / 3);
  for (let t = 0; t < triangles.length; t += 3) {
    const va = triangles[t]!;
    const vb = triangles[t + 1]!;
    const vc = triangles[t + 2]!;
    if (isNear[va] === 0 || isNear[vb] === 0 || isNear[vc] === 0) continue;
    const a = 3 * va;
    const b = 3 * vb;
    const c = 3 * vc;
    if ((p[b]! - p[a]!) * (p[c + 1]! - p[a + 1]!) - (p[c]! - p[a]!) * (p[b + 1]! - p[a + 1]!) <= 0) continue;
    isLand[va] = isLand[vb] = isLand[vc] = 1;
  }
  let count = 0;
  for (const flag of isLand) count += flag;
  const xs = new Float64Array(count);
  const ys = new Float64Array(count);
  for (let v = 0, i = 0; v < isLand.length; v++) {
    if (isLand[v] === 0) continue;
    xs[i] = p[3 * v]!;
    ys[i++] = p[3 * v + 1]!;
  }
  return convexHull(xs, ys);
}

export function noCavities(): Fault {
  return new Fault({
    code: 'no-cavities',
    message: 'It holds a flat face, but no cavity in it.',
    remedy:
      'Check that it is the side with the cavities that was scanned or exported; if it is one loose piece, give --form pieces.',
  });
}

function noPlate(): Fault {
  return new Fault({
    code: 'no-plate',
    message: 'No plate was found in it: no flat land that holds enough of the surface.',
    remedy: 'A mould, a scan of its face or a sculpt on a flat board is expected; check the file in a mesh viewer.',
  });
}
