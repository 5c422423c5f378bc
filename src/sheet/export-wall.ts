import { rampColour, roundTop } from '../base/ramp.js';

/** One cavity's wall with its thickness, as the exports of coloured meshes take it. */
export interface ExportWall {
  readonly name: string;
  /** x, y, z per vertex, mm. */
  readonly positions: Float64Array;
  /** Three vertex indices per face. */
  readonly triangles: Uint32Array;
  /** Per face. */
  readonly thicknessMm: Float64Array;
  readonly areaMm2: Float64Array;
}

/** The end of the colour scale: a round number that nearly all of the wall stays under. */
export function scaleTopMm(walls: readonly ExportWall[]): number {
  const sorted = Float64Array.from(walls.flatMap(({ thicknessMm }) => Array.from(thicknessMm))).sort();
  return roundTop(sorted[Math.floor(0.98 * (sorted.length - 1))] ?? 1);
}

/** Thickness per vertex: the mean over the faces round it, by area. Vertices of no face get NaN. */
export function vertexThickness({ positions, triangles, thicknessMm, areaMm2 }: ExportWall): Float64Array {
  const sum = new Float64Array(positions.length / 3);
  const area = new Float64Array(sum.length);
  for (let i = 0; i < triangles.length; i++) {
    const face = Math.floor(i / 3);
    sum[triangles[i]!]! += thicknessMm[face]! * areaMm2[face]!;
    area[triangles[i]!]! += areaMm2[face]!;
  }
  return sum.map((value, v) => value / area[v]!);
}

/** A wall with its unused vertices left out, thickness and colour per vertex. */
export interface ColouredWall {
  readonly name: string;
  readonly positions: Float32Array;
  readonly triangles: Uint32Array;
  readonly thicknessMm: Float32Array;
  /** Red, green, blue per vertex, sRGB. */
  readonly colours: Uint8Array;
}

export function colouredWall(wall: ExportWall, topMm: number): ColouredWall {
  const thickness = vertexThickness(wall);
  const used: number[] = [];
  const place = new Int32Array(thickness.length).fill(-1);
  thickness.forEach((value, v) => {
    if (Number.isNaN(value)) return;
    place[v] = used.length;
    used.push(v);
  });
  const positions = new Float32Array(3 * used.length);
  const thicknessMm = new Float32Array(used.length);
  const colours = new Uint8Array(3 * used.length);
  used.forEach((v, k) => {
    positions.set(wall.positions.subarray(3 * v, 3 * v + 3), 3 * k);
    thicknessMm[k] = thickness[v]!;
    colours.set(rampColour(thickness[v]! / topMm), 3 * k);
  });
  return { name: wall.name, positions, triangles: wall.triangles.map((v) => place[v]!), thicknessMm, colours };
}
