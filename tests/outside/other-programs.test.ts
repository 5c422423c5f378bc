import jscad from '@jscad/modeling';
import { describe, expect, it } from 'vitest';
import { analyticPlate, analyticShapes } from '../../fixtures/make/analytic-set.js';
import { bunnyPlate } from '../../fixtures/make/bunny-mould.js';
import { type CavityPlan, loosePieces, plateMould } from '../../fixtures/make/plate.js';
import { mulberry32 } from '../../fixtures/make/random.js';
import { analytic } from '../../fixtures/make/shapes.js';
import { moved, randomMotion, shuffled } from '../../fixtures/make/transform.js';
import { checksOf, lessFacets } from '../record.js';
import cgal from './bunny-volumes.json' with { type: 'json' };
import gmsh from './gmsh-masses.json' with { type: 'json' };
import { float32Step, pairs, surveyFile } from './surveyed.js';

const agrees = checksOf(import.meta.url, 'Other programs');
const { booleans, measurements, primitives, transforms } = jscad;

describe('OpenCASCADE (gmsh) integrates the smooth bodies', () => {
  const masses: Record<string, number> = gmsh.volumesMm3;
  const made = plateMould(analyticPlate({ meshMm: 0.5 }));

  it.each(Object.entries(analyticShapes))('%s: the published formula is right', (name, shape) => {
    expect(masses[name]! / analytic(shape).volumeMm3).toBeCloseTo(1, 12);
  });

  it('the survey of the facetted mould, its facets taken off', async () => {
    const document = await surveyFile(made.mesh, 'obj');
    for (const { truth, ours } of pairs(document, made)) {
      const facets = truth.volumeMm3 - truth.analytic!.volumeMm3;
      agrees({
        check: `${truth.name}${lessFacets(facets, truth.volumeMm3)}`,
        source: `gmsh ${gmsh.version}, OpenCASCADE getMass`,
        unit: 'mm³',
        expected: masses[truth.name]!,
        ours: ours.volumeMm3! - facets,
        allowed: 1e-5 * truth.volumeMm3,
        because: 'float64 coordinates: 1e-5',
      });
    }
  });
});

describe('JSCAD measures solids of its own with the same 64-sided facets', () => {
  const segments = 64;
  const { cuboid, cylinder, cylinderElliptic, polyhedron, torus } = primitives;
  const volume = (solid: Parameters<typeof measurements.measureVolume>[0]) =>
    measurements.measureVolume(solid) as number;
  const round = (height: number, top: number, floor: number) =>
    cylinderElliptic({ height, startRadius: [floor, floor], endRadius: [top, top], segments });
  const lowered = (z: number, solid: ReturnType<typeof cuboid>) => transforms.translate([0, 0, z], solid);
  const feather = 4 * Math.tan((10 * Math.PI) / 180);
  const solids: [CavityPlan['shape'], string, number][] = [
    [analyticShapes.cone!, 'cylinderElliptic', volume(round(6, 8, 1e-9))],
    [analyticShapes.frustum!, 'cylinderElliptic', volume(round(8, 10, 5))],
    [
      analyticShapes.feather!,
      'cylinderElliptic, twice',
      volume(round(feather, 13, 9)) + volume(round(4 - feather, 9, 6)),
    ],
    [{ kind: 'disc', radius: 7, depth: 2 }, 'cylinder', volume(cylinder({ height: 2, radius: 7, segments }))],
    [
      { kind: 'ring-slab', radius: 9, islandRadius: 4, depth: 2 },
      'cylinder, subtract',
      volume(
        booleans.subtract(cylinder({ height: 2, radius: 9, segments }), cylinder({ height: 3, radius: 4, segments })),
      ),
    ],
    [analyticShapes.slab!, 'cuboid', volume(cuboid({ size: [18, 12, 2] }))],
    [
      analyticShapes['t-slot']!,
      'cuboid, union',
      volume(booleans.union(lowered(-1, cuboid({ size: [5, 16, 2] })), lowered(-3, cuboid({ size: [9, 16, 2] })))),
    ],
    [
      analyticShapes.obelisk!,
      'polyhedron',
      volume(
        polyhedron({
          points: [
            [-5, -4, 0],
            [5, -4, 0],
            [5, 4, 0],
            [-5, 4, 0],
            [-4, -3, -2],
            [4, -3, -2],
            [4, 3, -2],
            [-4, 3, -2],
          ],
          faces: [
            [0, 1, 2, 3],
            [7, 6, 5, 4],
            [4, 5, 1, 0],
            [5, 6, 2, 1],
            [6, 7, 3, 2],
            [7, 4, 0, 3],
          ],
        }),
      ),
    ],
    [
      analyticShapes['ring groove']!,
      'torus, half of it',
      volume(torus({ innerRadius: 1.5, outerRadius: 10, innerSegments: 32, outerSegments: segments })) / 2,
    ],
  ];

  it.each(solids)('%o by %s', async (shape, how, expected) => {
    const cavities = [{ name: 'one', shape, x: 50, y: 30 }];
    // 16 chords on the half-round groove of radius 1.5: 0.3 mm
    const made = plateMould({ lengthMm: 100, widthMm: 60, blockMm: 15, meshMm: 0.3, segments, cavities });
    const [{ ours }] = pairs(await surveyFile(made.mesh, 'obj'), made) as [ReturnType<typeof pairs>[0]];
    const kind = (shape as { kind: string }).kind;
    agrees({
      check: `${kind} with ${segments} sides where it is round`,
      source: `@jscad/modeling measureVolume (${how})`,
      unit: 'mm³',
      expected,
      ours: ours.volumeMm3!,
      allowed: 1e-5 * expected,
      because: 'float64 coordinates: 1e-5',
    });
  });

  it.each(Object.entries(analyticShapes))('%s: the facets themselves, handed over as polygons', async (name, shape) => {
    const plan = { ...analyticPlate(), cavities: [{ name, shape, x: 90, y: 60, turnDeg: 31 }] };
    const { mesh } = loosePieces(plan);
    const corner = (v: number) => Array.from(mesh.positions.subarray(3 * v, 3 * v + 3)) as [number, number, number];
    const polygons = Array.from({ length: mesh.triangles.length / 3 }, (_, i) =>
      jscad.geometries.poly3.create(Array.from(mesh.triangles.subarray(3 * i, 3 * i + 3), corner)),
    );
    const expected = volume(jscad.geometries.geom3.create(polygons));
    const made = plateMould(plan);
    const [{ ours }] = pairs(await surveyFile(made.mesh, 'obj'), made) as [ReturnType<typeof pairs>[0]];
    agrees({
      check: `${name}, the very facets`,
      source: '@jscad/modeling measureVolume (geom3)',
      unit: 'mm³',
      expected,
      ours: ours.volumeMm3!,
      allowed: 1e-5 * expected,
      because: 'float64 coordinates: 1e-5',
    });
  });
});

describe('CGAL cuts a scanned rabbit at the plane of the land', () => {
  const made = plateMould(bunnyPlate());
  const largest = made.truth.cavities.slice(0, 2);

  it.each([1, 2, 3])('pressed into a block, shuffled, random orientation, seed %i', async (seed) => {
    const motion = randomMotion(mulberry32(seed), 60);
    const mesh = shuffled(moved(made.mesh, motion), mulberry32(seed));
    const document = await surveyFile(mesh, 'stl');
    const twoOfThem = { ...made, truth: { ...made.truth, cavities: largest } };
    for (const [i, { truth, ours }] of pairs(document, twoOfThem, motion).entries()) {
      const expected = cgal.volumesMm3[i]!;
      const allowed = Math.max(1e-5 * expected, 4 * float32Step(mesh) * truth.openingAreaMm2);
      const because = '1e-5, or 4 last places of the float32 coordinates over the mean depth';
      const row = { source: `CGAL ${cgal.version}, clip and volume`, unit: 'mm³', expected, allowed, because };
      agrees({ ...row, check: `rabbit, part ${i + 1}, integral`, ours: ours.volumeMm3! });
      agrees({ ...row, check: `rabbit, part ${i + 1}, fill body`, ours: ours.volumeCheckMm3! });
    }
  });

  it('the third part, of 6 mm² opening, is no piece but a mark', async () => {
    const document = await surveyFile(made.mesh, 'obj');
    expect(document.cavities.length).toBe(2);
    expect(document.hollows).toEqual([expect.objectContaining({ role: 'mark', count: 1 })]);
    expect(document.hollows[0]!.volumeMm3).toBeCloseTo(cgal.volumesMm3[2]!, 5);
  });
});
