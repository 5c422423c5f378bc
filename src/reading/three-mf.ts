import { Fault } from '../base/fault.js';
import { largestMagnitude, WrittenPrecision } from './coordinate-step.js';
import { badCoordinate, largestCoordinate, noTriangles, shown } from './faults.js';
import type { Head, MeshFormat, MeshParser, ParsedMesh, Recognition } from './format.js';
import { IndexedFaces } from './indexed-faces.js';
import { type ModelObject, ModelReader, type Reference, type Transform } from './three-mf-model.js';
import { XmlReader } from './xml.js';
import { ZipArchive } from './zip.js';

/** Packed size that is still read; its directory stands at the end, so all of it is kept. */
const largestArchive = 2 ** 30;
/** Objects within objects: deeper than any assembly, far from the end of the stack. */
const deepest = 64;
const mostTriangles = 1e8;
const modelRelation = 'http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel';

/** 3MF: a zip of XML parts. What the build refers to is read, with its transforms; nothing outside the archive is. */
export const threeMf: MeshFormat = {
  recognise: ({ bytes }: Head): Recognition =>
    bytes[0] === 0x50 && bytes[1] === 0x4b && bytes[2] === 3 && bytes[3] === 4 ? 'likely' : 'no',
  open: (head) => new ThreeMfParser(head.byteLength),
};

class ThreeMfParser implements MeshParser {
  private archive: Uint8Array;
  private bytes = 0;

  constructor(byteLength: number | undefined) {
    this.checkArchive(byteLength ?? 0);
    this.archive = new Uint8Array(byteLength ?? 2 ** 16);
  }

  push(bytes: Uint8Array): void {
    const needed = this.bytes + bytes.length;
    if (needed > this.archive.length) {
      this.checkArchive(needed);
      const larger = new Uint8Array(2 * needed);
      larger.set(this.archive.subarray(0, this.bytes));
      this.archive = larger;
    }
    this.archive.set(bytes, this.bytes);
    this.bytes = needed;
  }

  finish(): ParsedMesh {
    return new Package(new ZipArchive(this.archive.subarray(0, this.bytes))).build();
  }

  private checkArchive(bytes: number): void {
    if (bytes <= largestArchive) return;
    throw new Fault({
      code: '3mf-too-large',
      message: `The archive has more than ${largestArchive / 2 ** 20} MB.`,
      remedy: 'Reduce its number of triangles, or export it as binary STL.',
    });
  }
}

/** Triangles of an object with all that it holds, and how many levels deep that is. */
interface Extent {
  readonly triangles: number;
  readonly levels: number;
}

const tooDeep: Extent = { triangles: 0, levels: deepest };

class Package {
  private readonly parts = new Map<string, ModelReader>();
  private readonly extents = new Map<ModelObject, Extent>();
  private readonly precision = new WrittenPrecision();
  private readonly faces = new IndexedFaces();
  private readonly point = new Float64Array(3);
  /** Largest stretch of any transform that was used. */
  private scale = 1;

  constructor(private readonly zip: ZipArchive) {}

  build(): ParsedMesh {
    const rootPart = this.findRoot();
    const root = this.part(rootPart);
    const total = root.items.reduce((sum, item) => sum + this.extent(item, root, 1).triangles, 0);
    if (total > mostTriangles) {
      throw new Fault({
        code: '3mf-too-many',
        message: `Repeated objects make ${total.toPrecision(3)} triangles of this file.`,
        remedy: 'Build fewer copies, or export one of them as STL.',
      });
    }
    for (const item of root.items) this.place(item, root, undefined, '');
    const mesh = this.faces.finish();
    if (mesh.triangles.length === 0) throw noTriangles();
    const magnitude = largestMagnitude(mesh.positions);
    return {
      fileFormat: '3mf',
      unit: root.unit,
      trianglesInFile: mesh.triangles.length / 3,
      coordinateStep: this.scale * this.precision.stepAt(magnitude / this.scale),
      mesh,
    };
  }

  /** The package's relations name the part to begin with (core specification 2.1). */
  private findRoot(): string {
    const targets: string[] = [];
    if (this.zip.has('_rels/.rels')) {
      this.readXml('_rels/.rels', {
        open: ({ attributes, local }) => {
          if (local !== 'Relationship' || attributes.Type?.value !== modelRelation) return;
          if (attributes.TargetMode?.value === 'External') throw outside(attributes.Target?.value ?? '', '_rels/.rels');
          targets.push(attributes.Target?.value ?? '');
        },
      });
    }
    const [target] = targets;
    if (target === undefined) {
      throw new Fault({
        code: 'zip-not-3mf',
        message: 'The file is a zip archive, but no 3MF.',
        remedy: 'Unpack it, and read the mesh inside.',
      });
    }
    if (targets.length > 1) throw new Fault({ code: '3mf-model', message: 'The file names two models to begin with.' });
    return target;
  }

  private part(path: string, where = '_rels/.rels'): ModelReader {
    const key = path.replace(/^\/+/, '').toLowerCase();
    const known = this.parts.get(key);
    if (known !== undefined) return known;
    // Whatever a path says, it is only looked up among the archive's own names.
    if (!this.zip.has(path)) throw outside(path, where);
    const model = new ModelReader(shown(path.replace(/^\/+/, '')), this.precision);
    this.readXml(path, model);
    this.parts.set(key, model);
    return model;
  }

  private readXml(path: string, handler: ModelReader | ConstructorParameters<typeof XmlReader>[1]): void {
    const reader = new XmlReader(shown(path.replace(/^\/+/, '')), handler);
    this.zip.unpack(path, (piece) => reader.push(piece));
    reader.finish();
  }

  /** The object that is referred to, and the part it is in. */
  private find(reference: Reference, from: ModelReader): { object: ModelObject; model: ModelReader } {
    const { objectId, path, where } = reference;
    const root = this.parts.values().next().value;
    if (path !== undefined && from !== root) {
      throw new Fault({
        code: '3mf-path',
        where,
        message: 'An object inside a part of its own refers to a further part.',
        remedy: 'Export the mesh again.',
      });
    }
    const model = path === undefined ? from : this.part(path, where);
    if (model.unit !== from.unit) {
      throw new Fault({
        code: '3mf-unit',
        where,
        message: `Two parts of the file are in different units (${from.unit} and ${model.unit}).`,
        remedy: 'Export the mesh again, in one unit.',
      });
    }
    const object = model.objects.get(objectId);
    if (object !== undefined) return { object, model };
    throw new Fault({
      code: '3mf-object',
      where,
      message: `There is no object ${shown(objectId)}.`,
      remedy: 'Export the mesh again.',
    });
  }

  /** What a reference makes; also sees to it that no object holds itself. */
  private extent(reference: Reference, from: ModelReader, depth: number): Extent {
    const { object, model } = this.find(reference, from);
    const known = this.extents.get(object);
    if (known !== undefined) return known;
    let triangles = object.triangles.length / 3;
    let levels = 1;
    for (const component of object.components) {
      const inner = depth < deepest ? this.extent(component, model, depth + 1) : tooDeep;
      triangles += inner.triangles;
      levels = Math.max(levels, 1 + inner.levels);
    }
    if (levels > deepest) {
      throw new Fault({
        code: '3mf-too-deep',
        where: reference.where,
        message: 'Objects hold each other in a circle, or too deep.',
        remedy: 'Export the mesh again, as one object.',
      });
    }
    const extent = { triangles, levels };
    this.extents.set(object, extent);
    return extent;
  }

  /** Adds what a reference stands for. A part without a name of its own has that of what it is a part of. */
  private place(reference: Reference, from: ModelReader, outer: Transform | undefined, outerName: string): void {
    const { object, model } = this.find(reference, from);
    if (this.extents.get(object)?.triangles === 0) return;
    const name = object.name === '' ? outerName : object.name;
    const transform = chain(reference.transform, outer);
    if (object.triangles.length > 0) this.addMesh(object, transform, name, reference.where);
    for (const component of object.components) this.place(component, model, transform, name);
  }

  private addMesh(
    { triangles, vertices }: ModelObject,
    transform: Transform | undefined,
    name: string,
    where: string,
  ): void {
    const { faces, point } = this;
    const turn = transform === undefined ? 1 : determinant(transform);
    if (!(Math.abs(turn) > 0)) {
      throw new Fault({
        code: '3mf-transform',
        where,
        message: 'A transform flattens its object.',
        remedy: 'Export the mesh again.',
      });
    }
    if (transform !== undefined) this.scale = Math.max(this.scale, stretch(transform));
    faces.names.begin(name);
    const first = faces.vertices;
    for (let at = 0; at < vertices.length; at += 3) {
      for (let axis = 0; axis < 3; axis++) point[axis] = vertices.at(at + axis);
      if (transform !== undefined) apply(transform, point, where);
      faces.addVertex(point[0]!, point[1]!, point[2]!);
    }
    // A mirror turns every triangle over; its corners in the other order turn it back (core specification, 3.3).
    const [second, third] = turn < 0 ? [2, 1] : [1, 2];
    for (let at = 0; at < triangles.length; at += 3) {
      faces.addCorner(first + triangles.at(at));
      faces.addCorner(first + triangles.at(at + second));
      faces.addCorner(first + triangles.at(at + third));
      faces.endFace();
    }
  }
}

/** First the inner, then the outer. */
function chain(inner: Transform | undefined, outer: Transform | undefined): Transform | undefined {
  if (inner === undefined || outer === undefined) return inner ?? outer;
  return Array.from({ length: 12 }, (_, i) => {
    const row = 3 * Math.floor(i / 3);
    const column = i % 3;
    const shift = row === 9 ? outer[9 + column]! : 0;
    return (
      inner[row]! * outer[column]! + inner[row + 1]! * outer[3 + column]! + inner[row + 2]! * outer[6 + column]! + shift
    );
  });
}

function apply(m: Transform, point: Float64Array, where: string): void {
  const [x, y, z] = point as unknown as [number, number, number];
  for (let axis = 0; axis < 3; axis++) {
    const value = x * m[axis]! + y * m[3 + axis]! + z * m[6 + axis]! + m[9 + axis]!;
    if (!(Math.abs(value) <= largestCoordinate)) throw badCoordinate(value, where);
    point[axis] = value;
  }
}

function determinant(m: Transform): number {
  const [a, b, c, d, e, f, g, h, i] = m as [number, number, number, number, number, number, number, number, number];
  return a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
}

function stretch(m: Transform): number {
  return Math.max(...[0, 3, 6].map((row) => Math.hypot(m[row]!, m[row + 1]!, m[row + 2]!)));
}

function outside(path: string, where: string): Fault {
  return new Fault({
    code: '3mf-outside',
    where,
    message: `The file refers to "${shown(path)}", which is not in it; nothing outside is read.`,
    remedy: 'Export the mesh again, whole into one file.',
  });
}
