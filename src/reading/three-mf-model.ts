import { Fault } from '../base/fault.js';
import { GrowingFloat64, GrowingUint32 } from '../base/growing.js';
import type { LengthUnit } from '../base/units.js';
import type { WrittenPrecision } from './coordinate-step.js';
import { shown } from './faults.js';
import { TextCursor } from './text-cursor.js';
import type { XmlHandler, XmlTag } from './xml.js';

const core = 'http://schemas.microsoft.com/3dmanufacturing/core/2015/02';
const production = 'http://schemas.microsoft.com/3dmanufacturing/production/2015/06';
const beams = 'http://schemas.microsoft.com/3dmanufacturing/beamlattice/2017/02';
/** Extensions that a file may require without changing the shape of its meshes. */
const harmless = [
  core,
  production,
  'http://schemas.microsoft.com/3dmanufacturing/material/2015/02',
  'http://schemas.3mf.io/3dmanufacturing/trianglesets/2021/07',
];

const units: Readonly<Record<string, LengthUnit>> = {
  micron: 'um',
  millimeter: 'mm',
  centimeter: 'cm',
  inch: 'in',
  foot: 'ft',
  meter: 'm',
};

/** A row-vector affine map: x' = x m00 + y m10 + z m20 + m30, and so on; twelve numbers, row by row. */
export type Transform = readonly number[];

export interface Reference {
  readonly objectId: string;
  /** The part that holds the object, where it is another one. */
  readonly path: string | undefined;
  readonly transform: Transform | undefined;
  readonly where: string;
}

export interface ModelObject {
  readonly name: string;
  /** x, y, z per vertex. */
  readonly vertices: GrowingFloat64;
  readonly triangles: GrowingUint32;
  readonly components: Reference[];
}

/** Reads one model part of a 3MF package (core specification 1.3; production extension 1.1 for `path`). */
export class ModelReader implements XmlHandler {
  unit: LengthUnit = 'mm';
  readonly objects = new Map<string, ModelObject>();
  readonly items: Reference[] = [];
  private object: ModelObject | undefined;
  private readonly cursor: TextCursor;
  private readonly scratch = new Uint8Array(512);
  private line = 0;
  private rootSeen = false;

  constructor(
    private readonly part: string,
    precision: WrittenPrecision,
  ) {
    this.cursor = new TextCursor(precision);
  }

  open(tag: XmlTag, line: number): void {
    this.line = line;
    if (!this.rootSeen) {
      this.rootSeen = true;
      this.openModel(tag);
    } else if (tag.uri === core) this.openElement(tag);
    else if (tag.uri === beams && tag.local === 'beamlattice') throw this.unknownShape('beams');
  }

  close(tag: XmlTag): void {
    if (tag.uri === core && tag.local === 'object') this.object = undefined;
  }

  private openElement(tag: XmlTag): void {
    switch (tag.local) {
      case 'vertex':
        this.coordinates(tag);
        break;
      case 'triangle':
        this.triangle(tag);
        break;
      case 'object': {
        const id = this.attribute(tag, 'id');
        if (this.objects.has(id)) throw this.fault('3mf-object', `Two objects have the number ${shown(id)}.`);
        const components: Reference[] = [];
        const name = optional(tag, 'name') ?? '';
        this.object = { name, vertices: new GrowingFloat64(0), triangles: new GrowingUint32(0), components };
        this.objects.set(id, this.object);
        break;
      }
      case 'component':
        this.object?.components.push(this.reference(tag));
        break;
      case 'item':
        this.items.push(this.reference(tag));
    }
  }

  private openModel(tag: XmlTag): void {
    if (tag.local !== 'model' || tag.uri !== core) {
      throw this.fault('3mf-model', 'The part is no 3MF model.');
    }
    const unit = optional(tag, 'unit') ?? 'millimeter';
    if (!Object.hasOwn(units, unit)) throw this.fault('3mf-unit', `The unit "${shown(unit)}" is none of 3MF.`);
    this.unit = units[unit]!;
    for (const prefix of (optional(tag, 'requiredextensions') ?? '').split(/\s+/)) {
      const uri = prefix === '' ? core : tag.ns[prefix];
      if (uri === undefined || !harmless.includes(uri))
        throw this.unknownShape(`the extension "${shown(uri ?? prefix)}"`);
    }
  }

  private coordinates(tag: XmlTag): void {
    const { object } = this;
    if (object === undefined) return;
    for (const axis of ['x', 'y', 'z']) object.vertices.push(this.number(this.attribute(tag, axis)));
  }

  private triangle(tag: XmlTag): void {
    const { object } = this;
    if (object === undefined) return;
    const vertices = object.vertices.length / 3;
    for (const corner of ['v1', 'v2', 'v3']) {
      const text = this.attribute(tag, corner).trim();
      const index = /^\d{1,10}$/.test(text) ? Number(text) : Number.NaN;
      if (!(index < vertices)) {
        throw this.fault(
          '3mf-bad-index',
          `A triangle refers to vertex "${shown(text)}", but the ${vertices} vertices are numbered from 0.`,
        );
      }
      object.triangles.push(index);
    }
  }

  private reference(tag: XmlTag): Reference {
    const path = Object.values(tag.attributes).find(({ local, uri }) => local === 'path' && uri === production)?.value;
    const matrix = optional(tag, 'transform');
    return {
      objectId: this.attribute(tag, 'objectid'),
      path,
      transform: matrix === undefined ? undefined : this.transform(matrix),
      where: this.where,
    };
  }

  private transform(text: string): Transform {
    const numbers = text.trim().split(/\s+/).map(Number);
    if (numbers.length === 12 && numbers.every((value) => Math.abs(value) < 1e9)) return numbers;
    throw this.fault('3mf-transform', 'A transform is not twelve finite numbers.');
  }

  private number(text: string): number {
    const { cursor, scratch } = this;
    const trimmed = text.trim();
    const { read, written } = new TextEncoder().encodeInto(trimmed, scratch);
    cursor.enter(scratch.subarray(0, written));
    cursor.line = this.line;
    try {
      const value = cursor.coordinate();
      if (cursor.at === written && read === trimmed.length) return value;
    } catch (error) {
      if (error instanceof Fault) throw this.fault(error.code, error.message, error.remedy);
      throw error;
    }
    throw this.fault('number-unreadable', `"${shown(text)}" stands where a number should.`);
  }

  private attribute(tag: XmlTag, name: string): string {
    const value = optional(tag, name);
    if (value !== undefined) return value;
    throw this.fault('3mf-attribute', `The element "${shown(tag.name)}" has no "${name}".`);
  }

  private get where(): string {
    return `${this.part}, line ${this.line}`;
  }

  private unknownShape(what: string): Fault {
    return this.fault(
      '3mf-extension',
      `The file needs ${what}, so its shape is not all in its triangles.`,
      'Export it as a plain mesh.',
    );
  }

  private fault(code: string, message: string, remedy = 'Export the mesh again.'): Fault {
    return new Fault({ code, where: this.where, message, remedy });
  }
}

/** An attribute without a namespace. */
function optional(tag: XmlTag, name: string): string | undefined {
  return Object.hasOwn(tag.attributes, name) ? tag.attributes[name]!.value : undefined;
}
