import { type Mesh, Vector3 } from 'three';
import { GLTFLoader } from 'three/examples/jsm/loaders/GLTFLoader.js';
import { beforeAll, describe, expect, test } from 'vitest';
import { soundness } from '../../fixtures/make/measure.js';
import { plateMould } from '../../fixtures/make/plate.js';
import { toBinaryStl } from '../../fixtures/make/write.js';
import { rampColour } from '../../src/base/ramp.js';
import { bytesSource } from '../../src/base/source.js';
import { readMesh } from '../../src/reading/read-mesh.js';
import { edgeProfilesSvg } from '../../src/sheet/edge-profile-svg.js';
import { bodies3mf, bodiesStl } from '../../src/sheet/export-bodies.js';
import { wallsGlb } from '../../src/sheet/export-glb.js';
import { wallsPly } from '../../src/sheet/export-ply.js';
import { rimsSvg } from '../../src/sheet/export-rims.js';
import { type ExportWall, scaleTopMm } from '../../src/sheet/export-wall.js';
import { type SurveyResult, survey } from '../../src/survey.js';
import { plyLoader, stlLoader } from '../reading/three-loaders.js';

const hostile = '<b>ear "left" & \u202e';
let result: SurveyResult;
let walls: ExportWall[];

beforeAll(async () => {
  const made = plateMould({
    lengthMm: 130,
    widthMm: 60,
    blockMm: 12,
    meshMm: 1,
    cavities: [
      { name: 'slab', shape: { kind: 'slab', length: 30, width: 20, depth: 3 }, x: 30, y: 30 },
      {
        name: 'feather',
        shape: { kind: 'feather', radius: 22, angleDeg: 2, featherMm: 10, floorRadius: 6, depth: 4 },
        x: 90,
        y: 30,
      },
    ],
  });
  result = await survey(bytesSource('plate.stl', toBinaryStl(made.mesh)));
  result.document.cavities[0]!.name = 'slab';
  result.document.cavities[1]!.name = hostile;
  const { cavities } = result.document;
  walls = result.cavities.map(({ thickness }, i) => ({ name: cavities[i]!.name, ...thickness! }));
});

const buffer = (bytes: Uint8Array) => new Uint8Array(bytes).buffer;
const bodies = () => result.cavities.map(({ body }, i) => ({ name: result.document.cavities[i]!.name, body: body! }));

function volume(positions: ArrayLike<number>, corners: ArrayLike<number>): number {
  let six = 0;
  const at = (i: number) => {
    const o = 3 * corners[i]!;
    return new Vector3(positions[o], positions[o + 1], positions[o + 2]);
  };
  for (let i = 0; i < corners.length; i += 3) six += at(i).dot(at(i + 1).cross(at(i + 2)));
  return six / 6;
}

describe('walls coloured by thickness', () => {
  test('PLY: three-stdlib reads places, colours and the thickness that made them', () => {
    const loader = plyLoader as typeof plyLoader & { setPropertyNameMapping(mapping: object): void };
    const text = new TextDecoder('latin1').decode(wallsPly(walls).subarray(0, 500));
    expect(text).toContain('property float thickness_mm');
    // The loader knows no thickness: once more with the thickness in the place of x.
    loader.setPropertyNameMapping({ thickness_mm: 'x', x: 'y', y: 'z', z: 'nothing' });
    const shifted = loader.parse(buffer(wallsPly(walls)));
    const thickness = Array.from({ length: shifted.getAttribute('position').count }, (_, i) =>
      shifted.getAttribute('position').getX(i),
    );
    loader.setPropertyNameMapping({});
    const geometry = loader.parse(buffer(wallsPly(walls)));
    const faces = walls.reduce((sum, { thicknessMm }) => sum + thicknessMm.length, 0);
    expect(geometry.getIndex()!.count / 3).toBe(faces);
    const colour = geometry.getAttribute('color');
    const top = scaleTopMm(walls);
    for (const i of [0, 100, colour.count - 1]) {
      expect([colour.getX(i), colour.getY(i), colour.getZ(i)].map((c) => Math.round(255 * c))).toEqual(
        rampColour(thickness[i]! / top),
      );
    }
    // On the slab's floor it is 3 mm.
    const position = geometry.getAttribute('position');
    const floor = thickness.filter((_, i) => {
      const [x, y] = [position.getX(i), position.getY(i)];
      return Math.abs(x - 30) < 8 && Math.abs(y - 30) < 5;
    });
    expect(floor.length).toBeGreaterThan(10);
    for (const t of floor) expect(t).toBeCloseTo(3, 4);
  });

  test('PLY: our own reader takes it, too', async () => {
    const { mesh } = await readMesh(bytesSource('walls.ply', wallsPly(walls)));
    expect(mesh.triangles.length / 3).toBe(walls.reduce((sum, { thicknessMm }) => sum + thicknessMm.length, 0));
  });

  test('GLB: the glTF loader of three reads names, metres, linear colours and the thickness', async () => {
    const bytes = wallsGlb(walls);
    const { scene } = await new GLTFLoader().parseAsync(buffer(bytes), '');
    const meshes: Mesh[] = [];
    scene.traverse((node) => {
      if ((node as Mesh).isMesh) meshes.push(node as Mesh);
    });
    expect(meshes).toHaveLength(2);
    const json = new TextDecoder().decode(bytes.subarray(20, 20 + new DataView(bytes.buffer).getUint32(12, true)));
    expect(JSON.parse(json).nodes.map(({ name }: { name: string }) => name)).toEqual([
      'slab',
      '<b>ear "left" & \\u{202e}',
      'plate',
    ]);
    const { geometry, matrixWorld } = meshes[0]!;
    scene.updateMatrixWorld(true);
    geometry.computeBoundingBox();
    // 30 x 20 mm in plan, in metres; the floor is 3 mm under y = 0.
    const box = geometry.boundingBox!.clone().applyMatrix4(matrixWorld);
    expect(box.max.x - box.min.x).toBeCloseTo(0.03, 6);
    expect(box.max.z - box.min.z).toBeCloseTo(0.02, 6);
    expect(box.min.y).toBeCloseTo(-0.003, 6);
    const thickness = geometry.getAttribute('_thickness_mm');
    expect(thickness.count).toBe(geometry.getAttribute('position').count);
    const colour = geometry.getAttribute('color');
    const i = Array.from({ length: thickness.count }, (_, k) => k).find((k) => thickness.getX(k) > 2.9)!;
    const light = rampColour(thickness.getX(i) / scaleTopMm(walls)).map((c) =>
      c / 255 <= 0.04045 ? c / 255 / 12.92 : ((c / 255 + 0.055) / 1.055) ** 2.4,
    );
    [colour.getX(i), colour.getY(i), colour.getZ(i)].forEach((c, k) => {
      expect(c).toBeCloseTo(light[k]!, 4);
    });
  });
});

describe('fill bodies', () => {
  test('STL: closed bodies, volumes as surveyed, read by three-stdlib', () => {
    const geometry = stlLoader.parse(buffer(bodiesStl(bodies())));
    const positions = geometry.getAttribute('position').array;
    const corners = Array.from({ length: positions.length / 3 }, (_, i) => i);
    const total = result.document.totals.volumeMm3!;
    expect(Math.abs(volume(positions, corners) / total - 1)).toBeLessThan(1e-4);
  });

  test('STL: every edge lies between two faces, as a slicer asks', async () => {
    const { mesh } = await readMesh(bytesSource('bodies.stl', bodiesStl(bodies())));
    expect(soundness(mesh)).toMatchObject({ openEdges: 0, badEdges: 0 });
  });

  test('3MF: one named object a cavity, mm, each with its volume; the name does no harm', async () => {
    const { mesh, unit } = await readMesh(bytesSource('bodies.3mf', bodies3mf(bodies())));
    expect(unit).toBe('mm');
    expect(mesh.objectNames).toEqual(['slab', '<b>ear "left" & \\u{202e}']);
    result.document.cavities.forEach(({ volumeMm3 }, k) => {
      const corners = Array.from(mesh.triangles).filter((_, i) => mesh.objectOf![Math.floor(i / 3)] === k);
      expect(Math.abs(volume(mesh.positions, corners) / volumeMm3! - 1)).toBeLessThan(1e-4);
    });
  });

  test('the same bytes from run to run', () => {
    expect(bodies3mf(bodies())).toEqual(bodies3mf(bodies()));
  });
});

describe('drawings', () => {
  test('rims and thin zones in mm, 1:1; what is thin too far in is hatched', () => {
    const zones = result.cavities.map(({ number, zones }) => ({ number, zones: zones! }));
    const svg = rimsSvg(result.document, zones);
    expect(svg).toContain('width="140mm" height="70mm" viewBox="0 0 140 70"');
    const thin = svg.slice(svg.indexOf('<g id="thin-zones"'), svg.indexOf('<g id="rims"'));
    expect(thin.match(/<path/g)).toHaveLength(1);
    expect(thin).not.toContain('fill="none"');
    expect(thin).toMatch(/thin for \d+\.\d mm in/);
    // All round: a loop along the rim and one at its reach, the other way round, so that the middle stays clear.
    expect(thin.split('<path d="')[1]!.split('"')[0]!.match(/M/g)).toHaveLength(2);
    expect(svg).not.toContain('<b>');
    // The rim of the feather is a circle of 22 mm about (90, 30), y downwards, 5 mm of margin.
    const rims = svg.slice(svg.indexOf('<g id="rims"'));
    const path = rims.split('<path d="')[2]!.split('"')[0]!;
    const points = path.slice(1, -1).split('L');
    for (const point of points) {
      const [x, y] = point.split(' ').map(Number);
      expect(Math.abs(Math.hypot(x! - 95, y! - 35) - 22)).toBeLessThan(0.05);
    }
  });

  test('the edge round the rim: one chart a cavity, its height at 3 mm in', () => {
    const profiles = result.cavities.map(({ number, profile, edgeLimits }, i) => ({
      number,
      name: result.document.cavities[i]!.name,
      profile: profile!,
      ...edgeLimits!,
    }));
    const svg = edgeProfilesSvg(profiles);
    expect(svg.match(/<g transform/g)).toHaveLength(2);
    expect(svg).not.toContain('<b>');
    expect(svg).toContain('3 mm in');
    expect(svg.match(/tears under 0\.33 mm/g)).toHaveLength(2);
    // It begins on the rim, a circle of 22 mm.
    const [, x, y] = /along the rim from x (\d+), y (\d+) mm, anticlockwise/.exec(
      svg.slice(svg.lastIndexOf('<g transform')),
    )!;
    expect(Math.abs(Math.hypot(Number(x) - 90, Number(y) - 30) - 22)).toBeLessThan(0.8);
  });
});
