import { describe, expect, it } from 'vitest';
import { gaussian, mulberry32 } from '../../fixtures/make/random.js';
import { gaussianWidthMm, noiseField, noisy } from '../../fixtures/make/transform.js';
import { facetSigmaMm3 } from '../../src/measure/facet-doubt.js';
import { noiseSigmaMm3 } from '../../src/measure/noise-doubt.js';
import { integralUnderZero } from '../../src/measure/volume.js';
import type { TriangleMesh } from '../../src/mesh/triangle-mesh.js';
import { fitBow } from '../../src/plate/fit-bow.js';
import { landCells } from '../../src/plate/land-cells.js';
import { fitLand } from '../../src/plate/land-fit.js';
import { levelArea, levelDoubt, levelSigmaMm3 } from '../../src/plate/level-doubt.js';
import { noGrain, noiseGrain } from '../../src/plate/noise-grain.js';

/** A square of jittered points, z as given, two triangles a cell. */
function sheet(sizeMm: number, stepMm: number, z: (x: number, y: number) => number, seed = 1): TriangleMesh {
  const uniform = mulberry32(seed);
  const n = Math.round(sizeMm / stepMm) + 1;
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let j = 0; j < n; j++) {
    for (let i = 0; i < n; i++) {
      const [x, y] = [(i + 0.3 * (uniform() - 0.5)) * stepMm, (j + 0.3 * (uniform() - 0.5)) * stepMm];
      positions.push(x, y, z(x, y));
      if (i + 1 < n && j + 1 < n) {
        const at = j * n + i;
        triangles.push(at, at + 1, at + n, at + 1, at + n + 1, at + n);
      }
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

const allOf = ({ triangles }: TriangleMesh) => Uint32Array.from({ length: triangles.length / 3 }, (_, t) => t);

function deviation(values: readonly number[]): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1));
}

/** The spread of n drawn values is itself known to 1 / sqrt(2 n) of it: three of those. */
const within = (draws: number) => 3 / Math.sqrt(2 * draws);

describe('what is stated against the spread of volumes drawn by chance (JCGM 101: propagation by drawing)', () => {
  const draws = 300;
  // a cone of 60 degrees to the land, 9 mm deep
  const cone = sheet(12, 0.5, (x, y) => -Math.max(0, Math.sqrt(3) * (5.2 - Math.hypot(x - 6, y - 6))));

  it('noise of the points, the same in every direction', () => {
    const volumes = Array.from({ length: draws }, (_, seed) => {
      const mesh = noisy(cone, { sigmaMm: 0.03, seed });
      return integralUnderZero(mesh, allOf(mesh)).volumeMm3;
    });
    const stated = noiseSigmaMm3(cone, allOf(cone), 0.03, noGrain);
    expect(Math.abs(deviation(volumes) / stated - 1)).toBeLessThan(within(draws));
    expect(noiseSigmaMm3(cone, allOf(cone), 0, noGrain)).toBe(0);
  });

  it('noise that is alike over 1 mm: sigma c sqrt(2 pi A), and as drawn', () => {
    const flat = sheet(20, 0.4, () => 0);
    const grain = 2 * Math.PI * gaussianWidthMm(1) ** 2;
    const stated = noiseSigmaMm3(flat, allOf(flat), 0.1, { grainMm2: grain, vertexMm2: 0.16, alikeMm2: grain });
    expect(Math.abs(stated / (0.1 * gaussianWidthMm(1) * Math.sqrt(2 * Math.PI * 400)) - 1)).toBeLessThan(0.02);
    const few = 60;
    const volumes = Array.from({ length: few }, (_, seed) => {
      const mesh = noisy(flat, { sigmaMm: 0.1, seed, autocorrelationMm: 1, along: [0, 0, 1] });
      return integralUnderZero(mesh, allOf(mesh)).volumeMm3;
    });
    expect(Math.abs(deviation(volumes) / stated - 1)).toBeLessThan(within(few));
  });

  it.each(['flat', 'bowed'] as const)('height of a %s surface fitted to land whose noise grows to one side', (kind) => {
    const flat = sheet(40, 0.8, () => 0);
    const { positions } = flat;
    // an opening of 12 x 12 mm near a corner, where no land is
    const isOpen = (x: number, y: number) => x > 23 && x < 35 && y > 5 && y < 17;
    const place = (v: number) => [positions[3 * v]!, positions[3 * v + 1]!] as const;
    const isLand = Uint8Array.from({ length: positions.length / 3 }, (_, v) => (isOpen(...place(v)) ? 0 : 1));
    const own = allOf(flat).filter((t) => [0, 1, 2].some((k) => isLand[flat.triangles[3 * t + k]!] === 0));
    const stated: number[] = [];
    const drawn = Array.from({ length: draws }, (_, seed) => {
      const normal = gaussian(mulberry32(seed));
      const mesh = { ...flat, positions: positions.slice() };
      const z = Float64Array.from(isLand, (_, v) => 0.002 * (1 + positions[3 * v]!) * normal());
      z.forEach((value, v) => {
        mesh.positions[3 * v + 2] = value;
      });
      const cells = landCells(mesh, z, Number.POSITIVE_INFINITY, isLand, 2);
      const surface = fitBow(cells, false)!;
      const plane = fitLand(mesh, { slopeX: 0, slopeY: 0, height: 0 }, 10, 10, isLand)!;
      const height = (x: number, y: number) =>
        kind === 'bowed' ? surface.heightAt(x, y) : plane.slopeX * x + plane.slopeY * y + plane.height;
      // as in a survey, residuals are heights over the fitted surface
      for (let i = 0; i < positions.length; i += 3) mesh.positions[i + 2]! -= height(positions[i]!, positions[i + 1]!);
      const doubt = levelDoubt(mesh, isLand, 0.03, noGrain, kind, 0);
      stated.push(levelSigmaMm3(doubt, [levelArea(doubt, flat, own)]));
      return integralUnderZero(
        {
          ...flat,
          positions: positions.map((v, i) => (i % 3 === 2 ? height(positions[i - 2]!, positions[i - 1]!) : v)),
        },
        own,
      ).volumeMm3;
    });
    const mean = stated.reduce((sum, sigma) => sum + sigma, 0) / draws;
    expect(Math.abs(deviation(drawn) / mean - 1)).toBeLessThan(within(draws));
  });

  it('an upright wall that stands anywhere between the points of a scan: not too little, nor more than twice', () => {
    const volumes: number[] = [];
    const stated: number[] = [];
    for (let seed = 0; seed < 60; seed++) {
      // a step of 1.5 mm along a slanting line, its place by chance
      const at = 5 + 0.5 * mulberry32(seed)();
      const depth = (x: number, y: number) => (x + 0.3 * y > at ? 1.5 : 0);
      const mesh = sheet(12, 0.5, (x, y) => -depth(x, y), seed + 100);
      stated.push(facetSigmaMm3(mesh, allOf(mesh), 0.01));
      const { volumeMm3, openingMm2 } = integralUnderZero(mesh, allOf(mesh));
      // what lies right of the line in a square of 12 mm; the square's own border is jittered
      const truth = 1.5 * (144 - 12 * at + 0.15 * 144);
      volumes.push(volumeMm3 - truth - 1.5 * (openingMm2 - 144));
      expect(facetSigmaMm3(mesh, allOf(mesh), 0)).toBe(0);
    }
    const ratio = stated.reduce((sum, sigma) => sum + sigma, 0) / stated.length / deviation(volumes);
    expect(ratio).toBeGreaterThan(0.8);
    expect(ratio).toBeLessThan(2.5);
  });
});

describe('grain of the noise', () => {
  it.each([1, 2, 3, 4, 5, 6])('alike over 1 mm: 2 pi c² within a fifth, seed %i', (seed) => {
    const field = noiseField({ sigmaMm: 0.1, autocorrelationMm: 1 }, mulberry32(seed));
    const mesh = sheet(40, 0.4, (x, y) => field(x, y, 0), seed);
    // two of the points lie near to each other by chance, one high and one low
    mesh.positions[3 * 5004] = mesh.positions[3 * 5005]! - 0.1;
    mesh.positions[3 * 5004 + 2] = 0.1;
    mesh.positions[3 * 5005 + 2] = -0.1;
    const isLand = new Uint8Array(mesh.positions.length / 3).fill(1);
    const { grainMm2, vertexMm2, alikeMm2 } = noiseGrain(mesh, isLand);
    expect(Math.abs(grainMm2 / (2 * Math.PI * gaussianWidthMm(1) ** 2) - 1)).toBeLessThan(0.2);
    expect(alikeMm2).toBe(grainMm2);
    expect(Math.abs(vertexMm2 / 0.16 - 1)).toBeLessThan(0.02);
  });

  it('independent noise: the area of a vertex, seed 1', () => {
    const normal = gaussian(mulberry32(1));
    const mesh = sheet(40, 0.4, () => 0.1 * normal());
    const { grainMm2, vertexMm2, alikeMm2 } = noiseGrain(mesh, new Uint8Array(mesh.positions.length / 3).fill(1));
    expect(grainMm2).toBe(vertexMm2);
    expect(alikeMm2).toBe(0);
  });
});
