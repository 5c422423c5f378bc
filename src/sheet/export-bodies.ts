import { strToU8, zipSync } from 'fflate';
import type { FillBody } from '../cavity/fill-body.js';
import { escapeHtml } from './html.js';

export interface ExportBody {
  readonly name: string;
  readonly body: Pick<FillBody, 'positions' | 'triangles'>;
}

/** All fill bodies in one binary STL, mm in the plate frame. An STL keeps neither names nor unit. */
export function bodiesStl(bodies: readonly ExportBody[]): Uint8Array {
  const faces = bodies.reduce((sum, { body }) => sum + body.triangles.length / 3, 0);
  const bytes = new Uint8Array(84 + 50 * faces);
  const view = new DataView(bytes.buffer);
  bytes.set(new TextEncoder().encode('fill bodies, millimetres'));
  view.setUint32(80, faces, true);
  let at = 84;
  for (const { body } of bodies) {
    const { positions: p, triangles } = body;
    for (let i = 0; i < triangles.length; i += 3) {
      const [a, b, c] = [3 * triangles[i]!, 3 * triangles[i + 1]!, 3 * triangles[i + 2]!];
      const [ux, uy, uz] = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!];
      const [vx, vy, vz] = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!];
      const normal = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
      const length = Math.hypot(...normal) || 1;
      normal.forEach((value, k) => {
        view.setFloat32(at + 4 * k, value / length, true);
      });
      [a, b, c].forEach((corner, k) => {
        for (let axis = 0; axis < 3; axis++) view.setFloat32(at + 12 + 12 * k + 4 * axis, p[corner + axis]!, true);
      });
      at += 50;
    }
  }
  return bytes;
}

const xml = '<?xml version="1.0" encoding="UTF-8"?>\n';
const contentTypes = `${xml}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>`;
const relations = `${xml}<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Target="/3D/3dmodel.model" Id="model" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>`;

/** The fill bodies as a 3MF package (3MF core specification 1.3), one object a cavity under its name, in mm. */
export function bodies3mf(bodies: readonly ExportBody[]): Uint8Array {
  const objects = bodies.map(({ name, body }, i) => {
    const { place, used } = usedVertices(body);
    const vertices = used.map((v) => {
      const [x, y, z] = Array.from(body.positions.subarray(3 * v, 3 * v + 3), number);
      return `<vertex x="${x}" y="${y}" z="${z}"/>`;
    });
    const triangles: string[] = [];
    for (let t = 0; t < body.triangles.length; t += 3) {
      const [a, b, c] = Array.from(body.triangles.subarray(t, t + 3), (v) => place[v]!);
      triangles.push(`<triangle v1="${a}" v2="${b}" v3="${c}"/>`);
    }
    return `<object id="${i + 1}" type="model" name="${escapeHtml(name)}"><mesh><vertices>${vertices.join('')}</vertices><triangles>${triangles.join('')}</triangles></mesh></object>`;
  });
  const items = bodies.map((_, i) => `<item objectid="${i + 1}"/>`);
  const model = `${xml}<model unit="millimeter" xml:lang="en" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"><resources>${objects.join('\n')}</resources><build>${items.join('')}</build></model>`;
  const files = {
    '[Content_Types].xml': strToU8(contentTypes),
    '_rels/.rels': strToU8(relations),
    '3D/3dmodel.model': strToU8(model),
  };
  // A fixed date keeps the bytes the same from run to run.
  return zipSync(files, { mtime: '2020-01-01T00:00:00' });
}

function usedVertices({ positions, triangles }: ExportBody['body']): { place: Int32Array; used: number[] } {
  const place = new Int32Array(positions.length / 3).fill(-1);
  const used: number[] = [];
  for (const v of triangles) if (place[v]! < 0) place[v] = used.push(v) - 1;
  return { place, used };
}

/** A tenth of a micrometre is kept. */
const number = (value: number): string => String(Math.round(value * 1e7) / 1e7);
