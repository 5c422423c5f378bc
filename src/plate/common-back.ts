import { applyInPlace, applyToPoint, compose, dot, type Vec3 } from '../mesh/rigid.js';
import { submesh } from '../mesh/shells.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import { framed, type LaidPiece } from './laid-piece.js';
import { fitLand, levelPlane } from './land-fit.js';
import { level } from './level.js';

/** Backs off their common plane by more of their own doubt than this are not in one plane; of many hardly one is by chance. */
const mostSigmas = 4.5;
/** Backs this near to one plane are in it, whatever the noise, mm: the figure of an export. */
const exportMm = 1e-3;

/**
 * One frame for all pieces, where every piece has a flat face in one plane that faces the same way; null where they have
 * not. The plane is fitted to all backs together: carried on from a single noisy back to the far end of the file it would be
 * off by many times what it is off on that back.
 */
export function onOnePlane(file: TriangleMesh, ways: LaidPiece[][], coordinateStepMm: number): LaidPiece[] | null {
  const [first, ...others] = ways;
  if (first === undefined || others.length === 0) return first?.slice(0, 1) ?? null;
  for (const guide of first) {
    const alike = others.map((options) => options.find((option) => mayBeAlike(guide, option, coordinateStepMm)));
    if (!alike.every((option) => option !== undefined)) continue;
    const laid = layTogether(file, [guide, ...alike], coordinateStepMm);
    if (laid !== null) return laid;
  }
  return null;
}

/** Whether a back may lie in the plane of another one, for all that is known of either alone. */
function mayBeAlike(guide: LaidPiece, other: LaidPiece, coordinateStepMm: number): boolean {
  const apart = angle(axisZ(guide), axisZ(other));
  if (apart > 0.0045 + mostSigmas * Math.hypot(tiltSigma(guide), tiltSigma(other))) return false;
  const [x, y, height] = applyToPoint(guide.toPiece, middle(other));
  const away = Math.hypot(x - guide.lengthMm / 2, y - guide.widthMm / 2);
  const doubt = Math.hypot(guide.levelSigmaMm, other.levelSigmaMm, away * tiltSigma(guide));
  return Math.abs(height) < Math.max(2e-3 * other.lengthMm, 16 * coordinateStepMm) + mostSigmas * doubt;
}

/** Fits one plane to all backs; null where one of them is off it by more than its noise. */
function layTogether(file: TriangleMesh, all: LaidPiece[], coordinateStepMm: number): LaidPiece[] | null {
  const { mesh, vertices } = submesh(file, Uint32Array.from(all.flatMap(({ own }) => [...own])));
  const isBack = backsOf(file, all);
  const isLand = Uint8Array.from(vertices, (v) => isBack[v]!);
  const m = all[0]!.toPiece;
  applyInPlace(m, mesh.positions);
  let farthest = 0;
  for (let v = 0; v < isLand.length; v++)
    if (isLand[v] === 1) farthest = Math.max(farthest, Math.abs(mesh.positions[3 * v + 2]!));
  const floor = Math.max(exportMm, 16 * coordinateStepMm);
  const plane = fitLand(mesh, levelPlane, farthest + floor, floor, isLand);
  if (plane === null) return null;
  const levelling = level(plane);
  const toLevel = compose(levelling, m);
  const z: Vec3 = [toLevel[2]!, toLevel[6]!, toLevel[10]!];
  for (const piece of all) {
    const height = applyToPoint(toLevel, middle(piece))[2];
    if (Math.abs(height) > floor + mostSigmas * piece.levelSigmaMm) return null;
    const tilt = angle(z, axisZ(piece));
    if (tilt * piece.widthMm > 2 * floor + mostSigmas * tiltSigma(piece) * piece.widthMm) return null;
  }
  applyInPlace(levelling, mesh.positions);
  const slack = 1e-3 * Math.max(...all.map(({ lengthMm }) => lengthMm));
  const { toPiece, lengthMm, widthMm, levelSigmaMm } = framed(all[0]!.own, mesh, toLevel, plane.sigma, slack);
  // A plane has three terms: at the worst place its height is known as if it had a third of the points.
  const levelled = { toPiece, lengthMm, widthMm, sigmaMm: plane.sigma, levelSigmaMm: Math.sqrt(3) * levelSigmaMm };
  return all.map((piece) => ({ ...piece, ...levelled }));
}

/** Per vertex of the file 1 where it lies in the back of its piece. */
function backsOf(file: TriangleMesh, all: readonly LaidPiece[]): Uint8Array {
  const isBack = new Uint8Array(file.positions.length / 3);
  const { positions: p, triangles } = file;
  for (const { own, toPiece: m, bandMm } of all) {
    for (const t of own) {
      for (let k = 3 * t; k < 3 * t + 3; k++) {
        const at = 3 * triangles[k]!;
        const height = m[2]! * p[at]! + m[6]! * p[at + 1]! + m[10]! * p[at + 2]! + m[14]!;
        isBack[triangles[k]!] = Math.abs(height) <= bandMm ? 1 : 0;
      }
    }
  }
  return isBack;
}

/** Standard uncertainty of a back's tilt across its narrow side, rad: points spread evenly over a width vary by width² / 12. */
function tiltSigma({ levelSigmaMm, widthMm }: LaidPiece): number {
  return (levelSigmaMm * Math.sqrt(12)) / widthMm;
}

function axisZ({ toPiece: m }: LaidPiece): Vec3 {
  return [m[2]!, m[6]!, m[10]!];
}

/** The angle between two unit vectors that face nearly the same way, rad; a right angle and more where they do not. */
function angle(a: Vec3, b: Vec3): number {
  return dot(a, b) > 0 ? Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]) : Math.PI / 2;
}

/** Middle of a piece's back in the file's millimetres. */
function middle({ toPiece: m, lengthMm, widthMm }: LaidPiece): Vec3 {
  const [x, y, z] = [lengthMm / 2 - m[12]!, widthMm / 2 - m[13]!, -m[14]!];
  return [m[0]! * x + m[1]! * y + m[2]! * z, m[4]! * x + m[5]! * y + m[6]! * z, m[8]! * x + m[9]! * y + m[10]! * z];
}
