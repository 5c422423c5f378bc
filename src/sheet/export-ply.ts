import { colouredWall, type ExportWall, scaleTopMm } from './export-wall.js';

const vertexBytes = 3 * 4 + 3 + 4;
const faceBytes = 1 + 3 * 4;

/**
 * The walls of all cavities as one binary PLY in mm: per vertex its place, its colour on the thickness scale and the
 * thickness itself (property `thickness_mm`).
 */
export function wallsPly(walls: readonly ExportWall[]): Uint8Array {
  const topMm = scaleTopMm(walls);
  const parts = walls.map((wall) => colouredWall(wall, topMm));
  const vertices = parts.reduce((sum, { thicknessMm }) => sum + thicknessMm.length, 0);
  const faces = parts.reduce((sum, { triangles }) => sum + triangles.length / 3, 0);
  const header = new TextEncoder().encode(
    [
      'ply',
      'format binary_little_endian 1.0',
      'comment millimetres',
      `comment thickness colours from dark, 0 mm, to light, ${topMm} mm`,
      `element vertex ${vertices}`,
      ...['x', 'y', 'z'].map((name) => `property float ${name}`),
      ...['red', 'green', 'blue'].map((name) => `property uchar ${name}`),
      'property float thickness_mm',
      `element face ${faces}`,
      'property list uchar int vertex_indices',
      'end_header\n',
    ].join('\n'),
  );
  const bytes = new Uint8Array(header.length + vertices * vertexBytes + faces * faceBytes);
  bytes.set(header);
  const view = new DataView(bytes.buffer);
  let at = header.length;
  for (const { positions, thicknessMm, colours } of parts) {
    for (let v = 0; v < thicknessMm.length; v++) {
      for (let axis = 0; axis < 3; axis++) view.setFloat32(at + 4 * axis, positions[3 * v + axis]!, true);
      bytes.set(colours.subarray(3 * v, 3 * v + 3), at + 12);
      view.setFloat32(at + 15, thicknessMm[v]!, true);
      at += vertexBytes;
    }
  }
  let first = 0;
  for (const { triangles, thicknessMm } of parts) {
    for (let i = 0; i < triangles.length; i += 3) {
      view.setUint8(at, 3);
      for (let corner = 0; corner < 3; corner++) {
        view.setInt32(at + 1 + 4 * corner, first + triangles[i + corner]!, true);
      }
      at += faceBytes;
    }
    first += thicknessMm.length;
  }
  return bytes;
}
