import fc from 'fast-check';
import { Matrix4, Vector3 } from 'three';
import { describe, expect, test } from 'vitest';
import { to3mf } from '../../fixtures/make/write.js';
import type { TriangleMesh } from '../../src/mesh/triangle-mesh.js';
import { anyMesh, corners, read, readInPieces, readWhole, sheet } from './tools.js';
import { assembly, boxObject, item, model, packageOf, relations, zipOf } from './zip-maker.js';

/** Volume by the divergence theorem: a sixth of the sum of det(a, b, c) over all triangles (Zhang, Chen 2001). */
function volume(mesh: TriangleMesh): number {
  const c = corners(mesh);
  let sum = 0;
  for (let i = 0; i < c.length; i += 9) {
    const [a, b, d] = [0, 3, 6].map((k) => new Vector3(c[i + k], c[i + k + 1], c[i + k + 2])) as [
      Vector3,
      Vector3,
      Vector3,
    ];
    sum += a.dot(b.cross(d)) / 6;
  }
  return sum;
}

const box = boxObject(1, [10, 20, 5]);
const seed = 2015;

test(`what a plain writer writes comes back (seed ${seed})`, async () => {
  await fc.assert(
    fc.asyncProperty(anyMesh, async (mesh) => {
      const file = await read(to3mf(mesh));
      expect(file.fileFormat).toBe('3mf');
      expect(corners(file.mesh)).toEqual(corners(mesh));
    }),
    { seed, numRuns: 60 },
  );
});

test('chunks of any length give the same', async () => {
  const bytes = to3mf(sheet(4));
  const whole = await readWhole(bytes);
  for (const lengths of [[1], [7, 300]]) expect(await readInPieces(bytes, lengths)).toEqual(whole);
});

// 3MF core specification, 3.4: the units, and millimeter as the default.
test.each([
  ['micron', 'um'],
  ['millimeter', 'mm'],
  ['centimeter', 'cm'],
  ['inch', 'in'],
  ['foot', 'ft'],
  ['meter', 'm'],
])('unit %s', async (unit, expected) => {
  expect((await read(packageOf(box, item(1), `unit="${unit}"`))).unit).toBe(expected);
});

test('without a unit it is millimetres', async () => {
  expect((await read(packageOf(box, item(1)))).unit).toBe('mm');
});

describe('transforms', () => {
  // 3MF core specification: a mirrored transform must not flip the volume's sign.
  test.each([
    ['none', '', 1],
    ['mirrored in x', 'transform="-1 0 0 0 1 0 0 0 1 30 0 0"', 1],
    ['two axes exchanged', 'transform="0 1 0 1 0 0 0 0 1 0 0 0"', 1],
    ['point reflection and scale 2', 'transform="-2 0 0 0 -2 0 0 0 -2 7 8 9"', 8],
    ['sheared', 'transform="1 0 0 0.5 1 0 0 0 1 0 0 0"', 1],
  ])('%s: the volume keeps its sign', async (_, transform, factor) => {
    const { mesh } = await read(packageOf(box, item(1, transform)));
    expect(volume(mesh)).toBeCloseTo(1000 * factor, 9);
  });

  test('a mirrored part of a mirrored part is turned over twice', async () => {
    const mirror = 'transform="-1 0 0 0 1 0 0 0 1 0 0 0"';
    const { mesh } = await read(packageOf(box + assembly(2, [[1, mirror]]), item(2, mirror)));
    expect(volume(mesh)).toBeCloseTo(1000, 9);
    expect(Math.max(...corners(mesh))).toBe(20);
  });

  test('a component moves first, then the item: as three multiplies the matrices', async () => {
    const inner = [0.6, 0.8, 0, -0.8, 0.6, 0, 0, 0, 1, 1, 2, 3];
    const outer = [1, 0, 0, 0, 0, 2, 0, -1, 0, -5, 0, 4];
    const words = (m: number[]) => `transform="${m.join(' ')}"`;
    const { mesh } = await read(packageOf(box + assembly(2, [[1, words(inner)]]), item(2, words(outer))));
    // The specification writes points as rows, three as columns: its rows are three's columns.
    const matrix = ([a, b, c, d, e, f, g, h, i, x, y, z]: number[]) =>
      new Matrix4().set(a!, d!, g!, x!, b!, e!, h!, y!, c!, f!, i!, z!, 0, 0, 0, 1);
    const both = matrix(outer).multiply(matrix(inner));
    const { mesh: plain } = await read(packageOf(box, item(1)));
    const [expected, found] = [corners(plain), corners(mesh)];
    for (let k = 0; k < expected.length; k += 3) {
      const point = new Vector3(expected[k], expected[k + 1], expected[k + 2]).applyMatrix4(both);
      expect(found[k]).toBeCloseTo(point.x, 12);
      expect(found[k + 1]).toBeCloseTo(point.y, 12);
      expect(found[k + 2]).toBeCloseTo(point.z, 12);
    }
  });
});

test('only what the build refers to is read, readInPieces, readWhole, as often as it does', async () => {
  const two = box + boxObject(2, [1, 1, 1]);
  const { mesh, trianglesInFile } = await read(
    packageOf(two, item(1) + item(1, 'transform="1 0 0 0 1 0 0 0 1 0 0 90"')),
  );
  expect(trianglesInFile).toBe(24);
  expect(volume(mesh)).toBeCloseTo(2000, 9);
});

test('names: an object has its own, or that of what it is a part of', async () => {
  const parts =
    boxObject(1, [1, 1, 1], 'name="brow &amp; lid"') +
    boxObject(2, [2, 2, 2]) +
    assembly(3, [[1], [2, 'transform="1 0 0 0 1 0 0 0 1 9 9 9"']], 'name="chorus"');
  const { mesh } = await read(packageOf(parts, item(3)));
  expect(mesh.objectNames).toEqual(['brow & lid', 'chorus']);
  expect(mesh.objectOf!.filter((object) => object === 1).length).toBe(12);
});

test('parts of their own, found by the path attribute of the production extension', async () => {
  const part = model(boxObject(7, [1, 2, 3], 'name="chin"'), '<item objectid="7"/>');
  const root = model(
    assembly(1, [[7, 'p:path="/3D/Objects/Chin.model" p:UUID="x"']]),
    item(1) + item(7, 'p:path="/3D/objects/chin.model"'),
    'requiredextensions="p"',
  );
  const bytes = zipOf({
    '_rels/.rels': relations('/3D/root.model'),
    '3D/root.model': root,
    '3D/Objects/chin.model': part,
  });
  const { mesh } = await read(bytes);
  expect(mesh.triangles.length / 3).toBe(24);
  expect(mesh.objectNames).toEqual(['chin']);
  expect(volume(mesh)).toBeCloseTo(12, 9);
});

describe('odd but valid packages', () => {
  const plain = model(box, item(1));
  const wide = (text: string) => {
    const units = Uint16Array.from(`\ufeff${text.replace('UTF-8', 'UTF-16')}`, (c) => c.charCodeAt(0));
    return new Uint8Array(units.buffer);
  };
  const twins: [string, Uint8Array][] = [
    ['stored, not compressed', zipOf({ '_rels/.rels': relations(), '3D/3dmodel.model': plain }, 0)],
    ['the model before its relations', zipOf({ '3D/3dmodel.model': plain, '_rels/.rels': relations() })],
    ['another name for the model', zipOf({ '_rels/.rels': relations('3D/plate.model'), '3D/plate.model': plain })],
    ['UTF-16', zipOf({ '_rels/.rels': relations(), '3D/3dmodel.model': wide(plain) })],
    [
      'a prefix for its own elements',
      zipOf({
        '_rels/.rels': relations(),
        '3D/3dmodel.model': plain.replace('xmlns=', 'xmlns:c=').replace(/<(\/?)(?=[a-z])/g, '<$1c:'),
      }),
    ],
    [
      'materials, metadata, comments, unknown extensions that are not required',
      zipOf({
        '_rels/.rels': relations(),
        'Metadata/thumbnail.png': 'x',
        '3D/3dmodel.model': plain
          .replace(
            '<resources>',
            '<metadata name="Title">x</metadata><!-- <item/> --><resources><basematerials id="9"><base name="a" displaycolor="#fff"/></basematerials>',
          )
          .replace('</mesh>', '<z:triangle xmlns:z="urn:z" v1="900"/></mesh>'),
      }),
    ],
    ['a comment behind the archive', withComment(zipOf({ '_rels/.rels': relations(), '3D/3dmodel.model': plain }))],
    ['zip64', withZip64(zipOf({ '_rels/.rels': relations(), '3D/3dmodel.model': plain }))],
  ];
  test.each(twins)('%s', async (_, bytes) => {
    const { mesh } = await read(bytes);
    expect(corners(mesh)).toEqual(corners((await read(packageOf(box, item(1)))).mesh));
  });
});

function withComment(zip: Uint8Array): Uint8Array {
  const longer = new Uint8Array(zip.length + 300);
  longer.set(zip);
  new DataView(longer.buffer).setUint16(zip.length - 2, 300, true);
  return longer;
}

/** The same archive with its directory's place given by the wide end records of zip64 (APPNOTE 6.3, 4.3.14 and 15). */
function withZip64(zip: Uint8Array): Uint8Array {
  const end = zip.length - 22;
  const old = new DataView(zip.buffer, zip.byteOffset);
  const out = new Uint8Array(zip.length + 76);
  out.set(zip.subarray(0, end));
  const view = new DataView(out.buffer);
  view.setUint32(end, 0x06064b50, true);
  view.setBigUint64(end + 4, 44n, true);
  view.setBigUint64(end + 24, BigInt(old.getUint16(end + 8, true)), true);
  view.setBigUint64(end + 32, BigInt(old.getUint16(end + 10, true)), true);
  view.setBigUint64(end + 40, BigInt(old.getUint32(end + 12, true)), true);
  view.setBigUint64(end + 48, BigInt(old.getUint32(end + 16, true)), true);
  view.setUint32(end + 56, 0x07064b50, true);
  view.setBigUint64(end + 64, BigInt(end), true);
  view.setUint32(end + 72, 1, true);
  out.set(zip.subarray(end), end + 76);
  view.setUint16(end + 76 + 10, 0xffff, true);
  view.setUint32(end + 76 + 16, 0xffffffff, true);
  return out;
}

describe('broken packages', () => {
  const plain = model(box, item(1));
  const good = zipOf({ '_rels/.rels': relations(), '3D/3dmodel.model': plain });
  const withModel = (text: string) => zipOf({ '_rels/.rels': relations(), '3D/3dmodel.model': text });
  const changed = (at: number, ...bytes: number[]) => {
    const copy = good.slice();
    copy.set(bytes, at);
    return copy;
  };
  const stored = zipOf({ '_rels/.rels': relations(), '3D/3dmodel.model': plain }, 0);
  const flipped = stored.slice();
  flipped[new TextDecoder('latin1').decode(stored).indexOf('x="10"') + 3] = 0x32;
  const chainOf = (length: number) => box + Array.from({ length }, (_, i) => assembly(i + 2, [[i + 1]])).join('');
  const doubling = box + Array.from({ length: 40 }, (_, i) => assembly(i + 2, [[i + 1], [i + 1]])).join('');
  const empty = '<object id="1"><mesh><vertices/><triangles/></mesh></object>';
  const cases: [string, string, Uint8Array][] = [
    ['cut short', 'zip-damaged', good.slice(0, -40)],
    ['its directory damaged', 'zip-damaged', changed(good.length - 6, 1, 2)],
    ['a digit changed', 'zip-damaged', flipped],
    ['a zip of something else', 'zip-not-3mf', zipOf({ 'mould.stl': 'solid' })],
    ['encrypted', 'zip-encrypted', encrypted(good)],
    ['its model missing', '3mf-outside', zipOf({ '_rels/.rels': relations() })],
    ['its model outside', '3mf-outside', zipOf({ '_rels/.rels': relations('../../etc/passwd') })],
    [
      'its model on the net',
      '3mf-outside',
      zipOf({ '_rels/.rels': relations('http://example.org/x', ' TargetMode="External"') }),
    ],
    ['a part outside', '3mf-outside', packageOf('', item(1, 'p:path="/../../etc/passwd"'))],
    ['no XML', 'xml-malformed', withModel('not xml')],
    ['XML cut short', 'xml-malformed', withModel(plain.slice(0, -30))],
    [
      'no UTF-8',
      'xml-malformed',
      zipOf({ '_rels/.rels': relations(), '3D/3dmodel.model': Uint8Array.of(60, 0xff, 0xff) }),
    ],
    [
      'entities of its own',
      'xml-doctype',
      withModel(`<!DOCTYPE m [<!ENTITY a "aa">]>${plain.slice(plain.indexOf('<model'))}`),
    ],
    ['another root', '3mf-model', withModel('<model xmlns="urn:other"/>')],
    ['an unknown unit', '3mf-unit', packageOf(box, item(1), 'unit="league"')],
    [
      'an unknown required extension',
      '3mf-extension',
      packageOf(box, item(1), 'xmlns:s="urn:slices" requiredextensions="p s"'),
    ],
    ['an undeclared required extension', '3mf-extension', packageOf(box, item(1), 'requiredextensions="q"')],
    [
      'beams',
      '3mf-extension',
      withModel(
        plain.replace(
          '</mesh>',
          '<b:beamlattice xmlns:b="http://schemas.microsoft.com/3dmanufacturing/beamlattice/2017/02"/></mesh>',
        ),
      ),
    ],
    ['an index past the last vertex', '3mf-bad-index', withModel(plain.replace('v1="4"', 'v1="8"'))],
    ['a negative index', '3mf-bad-index', withModel(plain.replace('v1="4"', 'v1="-4"'))],
    ['NaN', 'coordinate-not-finite', withModel(plain.replace('x="10"', 'x="NaN"'))],
    ['a decimal comma', 'decimal-comma', withModel(plain.replace('x="10"', 'x="1,5"'))],
    ['two numbers in one', 'number-unreadable', withModel(plain.replace('x="10"', 'x="1 5"'))],
    ['no number', 'number-unreadable', withModel(plain.replace('x="10"', 'x=""'))],
    ['a missing coordinate', '3mf-attribute', withModel(plain.replace('x="10"', ''))],
    ['an object that is not there', '3mf-object', packageOf(box, item(2))],
    ['two objects of one number', '3mf-object', packageOf(box + box, item(1))],
    ['a transform of eleven numbers', '3mf-transform', packageOf(box, item(1, 'transform="1 0 0 0 1 0 0 0 1 0 0"'))],
    ['a transform of words', '3mf-transform', packageOf(box, item(1, 'transform="1 0 0 0 1 0 0 0 1 0 0 x"'))],
    ['a transform that flattens', '3mf-transform', packageOf(box, item(1, 'transform="1 0 0 0 1 0 0 0 0 0 0 0"'))],
    ['an object that holds itself', '3mf-too-deep', packageOf(assembly(1, [[1]]), item(1))],
    [
      'objects that hold each other',
      '3mf-too-deep',
      packageOf(assembly(1, [[2], [2]]) + assembly(2, [[1], [1]]), item(1)),
    ],
    ['a chain of 5,000 objects', '3mf-too-deep', packageOf(chainOf(5000), item(5001))],
    [
      'a chain that is built from its inner end',
      '3mf-too-deep',
      packageOf(chainOf(5000), Array.from({ length: 5001 }, (_, i) => item(i + 1)).join('')),
    ],
    ['twelve triangles doubled forty times', '3mf-too-many', packageOf(doubling, item(41))],
    ['nothing doubled forty times', 'no-triangles', packageOf(doubling.replace(box, empty), item(41))],
    ['nothing to build', 'no-triangles', packageOf(box, '')],
    [
      'a part that refers to a further part',
      '3mf-path',
      zipOf({
        '_rels/.rels': relations(),
        '3D/3dmodel.model': model('', item(1, 'p:path="/a.model"')),
        'a.model': model(assembly(1, [[1, 'p:path="/b.model"']]), ''),
        'b.model': plain,
      }),
    ],
    [
      'parts in different units',
      '3mf-unit',
      zipOf({
        '_rels/.rels': relations(),
        '3D/3dmodel.model': model('', item(1, 'p:path="/a.model"')),
        'a.model': model(box, '', 'unit="inch"'),
      }),
    ],
    ['blanks without end', 'unpacked-too-large', withModel(`${plain}${' '.repeat(70e6)}`)],
  ];
  test.each(cases)('%s: %s', async (_, code, bytes) => {
    await expect(read(bytes, 'broken.3mf')).rejects.toMatchObject({ code, kind: 'input', file: 'broken.3mf' });
  });
});

function encrypted(zip: Uint8Array): Uint8Array {
  const copy = zip.slice();
  const view = new DataView(copy.buffer);
  for (let at = 0; at < copy.length - 4; at++) if (view.getUint32(at, true) === 0x02014b50) copy[at + 8]! |= 1;
  return copy;
}
