import { Fault } from '../base/fault.js';
import { applyInPlace, axesAround, compose, intoFrame } from '../mesh/rigid.js';
import { sizeableShells, submesh } from '../mesh/shells.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import { candidatePlanes } from './candidate-planes.js';
import { onOnePlane } from './common-back.js';
import { framed, type LaidPiece } from './laid-piece.js';
import { fitLand, type LandPlane, levelPlane } from './land-fit.js';
import { level } from './level.js';
import { type SurfaceSample, sampleSurface } from './surface-sample.js';

/** Free room between pieces that are laid in a row, mm. */
const roomMm = 20;

/**
 * Lays loose closed bodies out as they would hang in a mould: each with its flat back in z = 0.
 * Where all have a flat face in one plane, those are the backs: the pieces keep their places to each other and get one
 * frame. Others are laid in a row, in the order of the file, each on the largest flat face that all of it lies behind.
 * @returns the layout, and the mesh moved into it (a new one), its surface facing as a mould's wall does
 * @throws Fault `piece-without-back`
 */
export function layPieces(mesh: TriangleMesh, coordinateStepMm: number): { pieces: LaidPiece[]; laid: TriangleMesh } {
  const shells = sizeableShells(mesh);
  const ways = shells.map((own, i) => waysToLay(mesh, own, coordinateStepMm, i));
  const pieces = onOnePlane(mesh, ways, coordinateStepMm) ?? inARow(ways.map(([largest]) => largest!));
  const positions = mesh.positions.slice();
  const triangles: number[] = [];
  const objectOf: number[] = [];
  for (const { own, toPiece, offsetMm } of pieces) {
    const { mesh: piece, vertices } = submesh(mesh, own);
    applyInPlace(toPiece, piece.positions);
    vertices.forEach((v, i) => {
      positions[3 * v] = piece.positions[3 * i]! + offsetMm[0];
      positions[3 * v + 1] = piece.positions[3 * i + 1]! + offsetMm[1];
      positions[3 * v + 2] = piece.positions[3 * i + 2]!;
    });
    for (const t of own) {
      triangles.push(mesh.triangles[3 * t]!, mesh.triangles[3 * t + 2]!, mesh.triangles[3 * t + 1]!);
      if (mesh.objectOf !== undefined) objectOf.push(mesh.objectOf[t]!);
    }
  }
  return {
    pieces,
    laid: {
      positions,
      triangles: Uint32Array.from(triangles),
      ...(mesh.objectNames !== undefined && { objectNames: mesh.objectNames, objectOf: Uint32Array.from(objectOf) }),
    },
  };
}

/** Half-widths of the band in which a face counts as flat, by the size of the piece: on a small piece noise asks for more. */
const flatShares = [0.005, 0.02] as const;

/** Every way to lay one piece on a flat face, the largest face first. */
function waysToLay(file: TriangleMesh, own: Uint32Array, coordinateStepMm: number, index: number): LaidPiece[] {
  const { mesh } = submesh(file, own);
  const sample = sampleSurface(mesh, 3000);
  for (const share of flatShares) {
    const ways = waysWithin(share * Math.sqrt(sample.totalArea), mesh, own, sample, coordinateStepMm);
    if (ways.length > 0) return ways;
  }
  throw new Fault({
    code: 'piece-without-back',
    message: `Loose piece ${index + 1} of the file has no flat back that could be the opening of its cavity.`,
    remedy: 'Export the pieces with flat backs, or as a sculpt on a board, or give the mould.',
  });
}

function waysWithin(
  flatMm: number,
  mesh: TriangleMesh,
  own: Uint32Array,
  sample: SurfaceSample,
  coordinateStepMm: number,
): LaidPiece[] {
  const ways: LaidPiece[] = [];
  const size = Math.sqrt(sample.totalArea);
  const tolerance = Math.max(0.02 * size, 8 * coordinateStepMm);
  for (const plane of candidatePlanes(sample, Math.max(flatMm, 8 * coordinateStepMm))) {
    if (plane.share < 0.05) continue;
    const { x, y } = axesAround(plane.normal);
    const { normal: z, offset } = plane;
    const first = intoFrame(x, y, z, [z[0] * offset, z[1] * offset, z[2] * offset]);
    const moved = { ...mesh, positions: mesh.positions.slice() };
    applyInPlace(first, moved.positions);
    const floor = Math.max(8 * coordinateStepMm, 1e-6 * size);
    const back = fitLand(moved, levelPlane, flatMm, floor);
    if (back === null || back.area < 0.05 * sample.totalArea) continue;
    const fitted = untrimmed(moved, back, flatMm, floor);
    const levelling = level(fitted);
    applyInPlace(levelling, moved.positions);
    let highest = 0;
    for (let i = 2; i < moved.positions.length; i += 3) highest = Math.max(highest, moved.positions[i]!);
    // the highest of many noisy points stands this far out
    if (highest > tolerance + 5 * fitted.sigma) continue;
    ways.push(framed(own, moved, compose(levelling, first), fitted.sigma, floor));
  }
  return ways;
}

/**
 * The back's plane from all of its points. The band in which it was sought is narrow, to tell it from other faces, and
 * under noise as wide as that holds hardly half of its points: the plane is then off by several times what it need be.
 * Widened until it holds them; where it never does the face is bent, and stays as it was found.
 */
function untrimmed(mesh: TriangleMesh, back: LandPlane, flatMm: number, floorMm: number): LandPlane {
  for (let fit: LandPlane | null = back, band = flatMm; fit !== null && band < 16 * flatMm; band *= 2) {
    if (fit.sigma * 3 < band) return fit;
    fit = fitLand(mesh, back, 2 * band, floorMm);
  }
  return back;
}

function inARow(alone: LaidPiece[]): LaidPiece[] {
  let x = 0;
  return alone.map((piece) => {
    const offsetMm = [x, 0] as const;
    x += piece.lengthMm + roomMm;
    return { ...piece, offsetMm };
  });
}

/** The motion from the file's millimetres into the layout for the piece that holds triangle `t` of the laid mesh. */
export function pieceMotion(pieces: readonly LaidPiece[], t: number): number[] {
  const { toPiece, offsetMm } = pieceOf(pieces, t);
  return compose([1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, offsetMm[0], offsetMm[1], 0, 1], toPiece);
}

/** The piece that holds triangle `t` of the laid mesh. */
export function pieceOf(pieces: readonly LaidPiece[], t: number): LaidPiece {
  let first = 0;
  for (const piece of pieces) {
    if (t < first + piece.own.length) return piece;
    first += piece.own.length;
  }
  throw new RangeError(`triangle ${t} belongs to no piece`);
}
