import { plainText } from '../base/plain-text.js';
import { colouredWall, type ExportWall, scaleTopMm } from './export-wall.js';

/** Numbers of glTF 2.0 (Khronos; ISO/IEC 12113): kinds of components and of buffer use. */
const unsignedShort = 5123;
const unsignedInt = 5125;
const float = 5126;
const vertexData = 34962;
const indexData = 34963;

/** glTF is in metres with y up; the plate is in mm with z up: x, y, z -> x, z, -y, a thousandth of it. */
const toMetresYUp = [0.001, 0, 0, 0, 0, 0, -0.001, 0, 0, 0.001, 0, 0, 0, 0, 0, 1];

/**
 * The walls of all cavities as binary glTF, one named node a cavity: place, colour on the thickness scale and the
 * thickness itself (attribute `_THICKNESS_MM`) per vertex.
 */
export function wallsGlb(walls: readonly ExportWall[]): Uint8Array {
  const topMm = scaleTopMm(walls);
  const buffer = new GlbBuffer();
  const meshes = walls.map((wall) => {
    const { positions, triangles, thicknessMm, colours } = colouredWall(wall, topMm);
    return {
      name: plainText(wall.name),
      primitives: [
        {
          attributes: {
            POSITION: buffer.add(positions, float, 'VEC3', vertexData, bounds(positions)),
            COLOR_0: buffer.add(linear(colours), unsignedShort, 'VEC4', vertexData, { normalized: true }),
            _THICKNESS_MM: buffer.add(thicknessMm, float, 'SCALAR', vertexData),
          },
          indices: buffer.add(triangles, unsignedInt, 'SCALAR', indexData),
          material: 0,
        },
      ],
    };
  });
  const root = walls.length;
  const json = {
    asset: { version: '2.0', generator: 'plateful', extras: { thicknessScaleTopMm: topMm } },
    scene: 0,
    scenes: [{ nodes: [root] }],
    nodes: [
      ...meshes.map(({ name }, mesh) => ({ name, mesh })),
      { name: 'plate', matrix: toMetresYUp, children: meshes.map((_, node) => node) },
    ],
    materials: [
      {
        doubleSided: true,
        pbrMetallicRoughness: { baseColorFactor: [1, 1, 1, 1], metallicFactor: 0, roughnessFactor: 1 },
      },
    ],
    meshes,
    ...buffer.json(),
  };
  return container(new TextEncoder().encode(JSON.stringify(json)), buffer.bytes());
}

type Data = Float32Array | Uint16Array | Uint32Array;

/** Gathers arrays into one buffer, each at a multiple of four bytes. */
class GlbBuffer {
  private readonly parts: Uint8Array[] = [];
  private readonly views: object[] = [];
  private readonly accessors: object[] = [];
  private length = 0;

  add(data: Data, componentType: number, type: 'SCALAR' | 'VEC3' | 'VEC4', target: number, more: object = {}): number {
    const bytes = new Uint8Array(data.buffer, data.byteOffset, data.byteLength);
    const size = type === 'SCALAR' ? 1 : type === 'VEC3' ? 3 : 4;
    this.views.push({ buffer: 0, byteOffset: this.length, byteLength: bytes.length, target });
    this.accessors.push({ bufferView: this.views.length - 1, componentType, type, count: data.length / size, ...more });
    this.parts.push(bytes);
    this.length += bytes.length + (-bytes.length & 3);
    return this.accessors.length - 1;
  }

  json(): object {
    return { buffers: [{ byteLength: this.length }], bufferViews: this.views, accessors: this.accessors };
  }

  bytes(): Uint8Array {
    const all = new Uint8Array(this.length);
    let at = 0;
    for (const part of this.parts) {
      all.set(part, at);
      at += part.length + (-part.length & 3);
    }
    return all;
  }
}

function container(json: Uint8Array, binary: Uint8Array): Uint8Array {
  const jsonLength = json.length + (-json.length & 3);
  const bytes = new Uint8Array(12 + 8 + jsonLength + 8 + binary.length);
  const view = new DataView(bytes.buffer);
  const words = [0x46546c67, 2, bytes.length, jsonLength, 0x4e4f534a];
  words.forEach((word, i) => {
    view.setUint32(4 * i, word, true);
  });
  // Spaces fill the JSON up to a multiple of four bytes.
  bytes.fill(0x20, 20, 20 + jsonLength);
  bytes.set(json, 20);
  view.setUint32(20 + jsonLength, binary.length, true);
  view.setUint32(24 + jsonLength, 0x004e4942, true);
  bytes.set(binary, 28 + jsonLength);
  return bytes;
}

function bounds(positions: Float32Array): { min: number[]; max: number[] } {
  const [min, max] = [
    [Infinity, Infinity, Infinity],
    [-Infinity, -Infinity, -Infinity],
  ];
  positions.forEach((value, i) => {
    min[i % 3] = Math.min(min[i % 3]!, value);
    max[i % 3] = Math.max(max[i % 3]!, value);
  });
  return { min, max };
}

/** Vertex colours in glTF are linear; ours are sRGB (IEC 61966-2-1). Opaque. */
function linear(colours: Uint8Array): Uint16Array {
  const result = new Uint16Array((colours.length / 3) * 4).fill(65535);
  for (let i = 0; i < colours.length; i++) {
    const c = colours[i]! / 255;
    const light = c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
    result[4 * Math.floor(i / 3) + (i % 3)] = Math.round(65535 * light);
  }
  return result;
}
