import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { spikes } from '../../fixtures/faulty/defects.js';
import { analyticPlate } from '../../fixtures/make/analytic-set.js';
import { bunnyPlate } from '../../fixtures/make/bunny-mould.js';
import { featherPlate } from '../../fixtures/make/feather-plate.js';
import { fieldOf } from '../../fixtures/make/height-field.js';
import {
  loosePieces,
  type PlatePlan,
  plateMould,
  plateScan,
  sculptOpen,
  sculptShells,
} from '../../fixtures/make/plate.js';
import { scanOf } from '../../fixtures/make/scan.js';
import { seaGhost } from '../../fixtures/make/sea-ghost.js';
import { noisy } from '../../fixtures/make/transform.js';
import { bytesSource } from '../../src/base/source.js';
import { flattenSpikes } from '../../src/mesh/spikes.js';
import type { TriangleMesh } from '../../src/mesh/triangle-mesh.js';
import { readMesh } from '../../src/reading/read-mesh.js';
import { surveyFile } from '../outside/surveyed.js';

const models = join(dirname(createRequire(import.meta.url).resolve('stl-models/package.json')), 'objects');
const model = async (name: string) => {
  const { mesh } = await readMesh(bytesSource(name, new Uint8Array(readFileSync(join(models, name)))));
  return mesh;
};

/** Pointed and thin things that are meant: a tip of four faces, a steep cone, a needle of a pin, all with their points inside. */
const pointed: PlatePlan = {
  ...{ lengthMm: 120, widthMm: 100, blockMm: 20, meshMm: 0.6, landMeshMm: 0.6 },
  cavities: [
    { name: 'tip', shape: { kind: 'cone', radius: 1, depth: 6 }, x: 20, y: 20 },
    { name: 'steep cone', shape: { kind: 'cone', radius: 4, depth: 12 }, x: 60, y: 20, meshMm: 0.3 },
    { name: 'coarse cone', shape: { kind: 'cone', radius: 3, depth: 9 }, x: 20, y: 60, meshMm: 5 },
    {
      ...{ name: 'pyramid', x: 60, y: 60 },
      shape: { kind: 'obelisk', length: 3, width: 3, floorLength: 0.01, floorWidth: 0.01, depth: 9 },
    },
    {
      name: 'slot',
      shape: { kind: 't-slot', length: 16, slotWidth: 0.6, slotDepth: 2, chamberWidth: 9, chamberDepth: 0.5 },
      x: 95,
      y: 60,
    },
  ],
  bosses: [
    { x: 95, y: 20, radius: 0.4, heightMm: 6 },
    { x: 100, y: 20, radius: 0.15, heightMm: 4 },
  ],
};

describe('no shape, no scan and no noise is taken for spikes', () => {
  it.each([0.4, 2, 5])('the twelve shapes, facets of %f mm', (meshMm) => {
    const plan = analyticPlate({ meshMm });
    for (const make of [plateMould, loosePieces, sculptOpen]) expect(flattenSpikes(make(plan).mesh)).toBeNull();
    expect(flattenSpikes(sculptShells(plan, 2).mesh)).toBeNull();
    expect(flattenSpikes(plateScan(analyticPlate({ meshMm, landMeshMm: meshMm })).mesh)).toBeNull();
  });

  it('tips, needles, pins and narrow slots', () => {
    expect(flattenSpikes(plateMould(pointed).mesh)).toBeNull();
    expect(flattenSpikes(plateMould({ ...pointed, landMeshMm: 20 }).mesh)).toBeNull();
  });

  it.each(['bunny.bin.stl', 'gearwheel.bin.stl'])('%s of the package stl-models', async (name) => {
    expect(flattenSpikes(await model(name))).toBeNull();
  });

  it('the rabbit pressed into a block, feathers, and sculpted relief with steps of 2 mm', () => {
    for (const plan of [bunnyPlate(), featherPlate(), seaGhost()]) {
      expect(flattenSpikes(plateMould(plan).mesh)).toBeNull();
    }
    expect(flattenSpikes(sculptOpen(seaGhost()).mesh)).toBeNull();
  });

  it('a scan of steep walls, seen from above and aside', () => {
    const { mesh } = plateMould(analyticPlate({ meshMm: 0.5 }));
    const viewpoints = [
      [90, 70, 400],
      [-200, 70, 300],
      [400, 300, 300],
    ] as const;
    for (const noiseMm of [0, 0.05]) {
      const scan = scanOf(fieldOf(mesh, 0.1), { spacingMm: 0.3, seed: 4, viewpoints, noiseMm });
      expect(flattenSpikes(scan.mesh)).toBeNull();
    }
  });

  it.each([0.05, 0.1])('noise of %f mm, upright and every way', (sigmaMm) => {
    const { mesh } = plateScan(analyticPlate({ meshMm: 0.5, landMeshMm: 0.5 }));
    expect(flattenSpikes(noisy(mesh, { sigmaMm, seed: 1, along: [0, 0, 1] }))).toBeNull();
    expect(flattenSpikes(noisy(mesh, { sigmaMm, seed: 2 }))).toBeNull();
  });
});

const farFrom = (a: TriangleMesh, b: TriangleMesh, mm: number) => {
  const far: number[] = [];
  for (let v = 0; v < a.positions.length; v += 3) {
    if (Math.hypot(...[0, 1, 2].map((k) => a.positions[v + k]! - b.positions[v + k]!)) > mm) far.push(v / 3);
  }
  return far;
};

describe('points pulled out of the surface', () => {
  const plan = analyticPlate({ meshMm: 0.4, landMeshMm: 0.4 });
  const sound = plateScan(plan).mesh;

  it.each([0, 0.05])('nine of ten are found, and nothing else is moved; noise %f mm', (sigmaMm) => {
    const base = sigmaMm === 0 ? sound : noisy(sound, { sigmaMm, seed: 3 });
    const bad = spikes(200, 2).spoil(base, 7);
    const pulled = farFrom(bad, base, 0);
    const flat = flattenSpikes(bad)!.mesh;
    const touched = farFrom(flat, bad, 0);
    expect(touched.filter((v) => !pulled.includes(v))).toEqual([]);
    expect(touched.length).toBeGreaterThan(0.9 * pulled.length);
  });

  const made = { mould: plateMould, scan: plateScan, sculpt: sculptOpen, pieces: loosePieces };
  it.each(Object.entries(made))('%s: volumes come back, and the list says what was done', async (_, make) => {
    const good = make(analyticPlate({ meshMm: 0.5 }));
    const before = await surveyFile(good.mesh, 'obj', { unit: 'mm' });
    // with the objects' names, by which the cavities are matched
    const bad = { ...good, mesh: { ...good.mesh, positions: spikes(25, 2, -0.5).spoil(good.mesh, 3).positions } };
    const document = await surveyFile(bad.mesh, 'obj', { unit: 'mm' });
    const [repair] = document.repairs;
    expect(repair!.what).toMatch(/single points/);
    // what the pulled points did to the volumes, by the facets themselves: the pyramids over their rings
    expect(repair!.effectMm3).toBeCloseTo(
      -pulledVolume(good.mesh, bad.mesh, make === sculptOpen || make === loosePieces ? -1 : 1),
      0,
    );
    expect(document.cavities.map(({ name }) => name).sort()).toEqual(before.cavities.map(({ name }) => name).sort());
    for (const { name, volumeMm3, volumeUncertaintyMm3 } of document.cavities) {
      const was = before.cavities.find((cavity) => cavity.name === name)!.volumeMm3!;
      expect(Math.abs(volumeMm3! - was)).toBeLessThan(Math.max(2 * volumeUncertaintyMm3!, 0.002 * was));
    }
    const said = document.findings.filter(({ code }) => code === 'spikes-flattened');
    expect(said.length).toBeGreaterThan(0);
    for (const { severity, cavity } of said) expect([severity, cavity === undefined]).toEqual(['note', false]);
  });
});

/** What the fill gains by points that were pulled: signed volume between two surfaces of the same triangles. */
function pulledVolume(from: TriangleMesh, to: TriangleMesh, side: number): number {
  const volume = ({ positions: p, triangles }: TriangleMesh) => {
    let sum = 0;
    for (let t = 0; t < triangles.length; t += 3) {
      const [a, b, c] = [3 * triangles[t]!, 3 * triangles[t + 1]!, 3 * triangles[t + 2]!];
      sum +=
        (p[a]! * (p[b + 1]! * p[c + 2]! - p[b + 2]! * p[c + 1]!) +
          p[a + 1]! * (p[b + 2]! * p[c]! - p[b]! * p[c + 2]!) +
          p[a + 2]! * (p[b]! * p[c + 1]! - p[b + 1]! * p[c]!)) /
        6;
    }
    return sum;
  };
  return side * (volume(from) - volume(to));
}
