import { strToU8, zipSync } from 'fflate';

const core = 'http://schemas.microsoft.com/3dmanufacturing/core/2015/02';
const production = 'http://schemas.microsoft.com/3dmanufacturing/production/2015/06';
const relation = 'http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel';

/** An archive of text files. */
export function zipOf(files: Readonly<Record<string, string | Uint8Array>>, level: 0 | 6 = 6): Uint8Array {
  const bytes = Object.entries(files).map(([path, text]) => [path, typeof text === 'string' ? strToU8(text) : text]);
  return zipSync(Object.fromEntries(bytes), { level, mtime: '2020-01-01' });
}

export function relations(target = '/3D/3dmodel.model', mode = ''): string {
  return `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
    <Relationship Target="${target}" Id="r" Type="${relation}"${mode}/></Relationships>`;
}

export function model(resources: string, build: string, attributes = ''): string {
  return `<?xml version="1.0" encoding="UTF-8"?>
<model xmlns="${core}" xmlns:p="${production}" ${attributes}>
<resources>${resources}</resources><build>${build}</build></model>`;
}

/** A package of one model. */
export function packageOf(resources: string, build: string, attributes = ''): Uint8Array {
  return zipOf({ '_rels/.rels': relations(), '3D/3dmodel.model': model(resources, build, attributes) });
}

/** A box from the origin, its faces turned outward. */
export function boxObject(id: string | number, [x, y, z]: readonly [number, number, number], attributes = ''): string {
  const vertices = [0, z].flatMap((h) => [
    [0, 0, h],
    [x, 0, h],
    [x, y, h],
    [0, y, h],
  ]);
  const triangles = [
    [0, 2, 1],
    [0, 3, 2],
    [4, 5, 6],
    [4, 6, 7],
    [0, 1, 5],
    [0, 5, 4],
    [1, 2, 6],
    [1, 6, 5],
    [2, 3, 7],
    [2, 7, 6],
    [3, 0, 4],
    [3, 4, 7],
  ];
  return `<object id="${id}" type="model" ${attributes}><mesh>
    <vertices>${vertices.map(([a, b, c]) => `<vertex x="${a}" y="${b}" z="${c}" />`).join('\n')}</vertices>
    <triangles>${triangles.map(([a, b, c]) => `<triangle v1="${a}" v2="${b}" v3="${c}"/>`).join('\n')}</triangles>
    </mesh></object>`;
}

/** An object that holds others: number, and transform or path. */
export function assembly(id: string | number, parts: readonly (readonly [number, string?])[], attributes = ''): string {
  const components = parts.map(([object, more]) => `<component objectid="${object}" ${more ?? ''}/>`).join('');
  return `<object id="${id}" ${attributes}><components>${components}</components></object>`;
}

export function item(object: string | number, more = ''): string {
  return `<item objectid="${object}" ${more}/>`;
}
