import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { triangulate } from '../../src/reading/polygon.js';

type Point = readonly [number, number, number];

function pieces(points: readonly Point[]): number[] {
  const out: number[] = [];
  triangulate(Float64Array.from(points.flat()), points.length, (a, b, c) => out.push(a, b, c));
  return out;
}

function cross(a: Point, b: Point, c: Point): Point {
  const [ux, uy, uz] = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
  const [vx, vy, vz] = [c[0] - a[0], c[1] - a[1], c[2] - a[2]];
  return [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
}

/** Area of the triangles (each counted as it is) and of the outline by the surveyor's formula: equal if none overlap. */
function areas(points: readonly Point[], triangles: readonly number[]): { pieces: number; outline: number } {
  let sum = 0;
  for (let i = 0; i < triangles.length; i += 3) {
    sum += Math.hypot(...cross(points[triangles[i]!]!, points[triangles[i + 1]!]!, points[triangles[i + 2]!]!)) / 2;
  }
  const total = points.reduce<Point>(
    (n, point, i) => {
      const c = cross(points[0]!, point, points[(i + 1) % points.length]!);
      return [n[0] + c[0], n[1] + c[1], n[2] + c[2]];
    },
    [0, 0, 0],
  );
  return { pieces: sum, outline: Math.hypot(...total) / 2 };
}

/** Edges that no other triangle meets: they must be the outline's own, in its direction. */
function rim(triangles: readonly number[]): string[] {
  const open = new Set<string>();
  for (let i = 0; i < triangles.length; i += 3) {
    for (let k = 0; k < 3; k++) {
      const [from, to] = [triangles[i + k]!, triangles[i + ((k + 1) % 3)]!];
      if (!open.delete(`${to} ${from}`)) open.add(`${from} ${to}`);
    }
  }
  return [...open].sort();
}

function outline(count: number): string[] {
  return Array.from({ length: count }, (_, i) => `${i} ${(i + 1) % count}`).sort();
}

function check(points: readonly Point[], digits = 9): void {
  const triangles = pieces(points);
  expect(triangles.length).toBe(3 * (points.length - 2));
  expect(rim(triangles)).toEqual(outline(points.length));
  const { pieces: sum, outline: whole } = areas(points, triangles);
  expect(sum / whole).toBeCloseTo(1, digits);
}

const inPlan = (...xy: [number, number][]): Point[] => xy.map(([x, y]) => [x, y, 0]);

describe('faces', () => {
  test.each([0, 1, 2, 3])('a concave quad, from its corner %d on', (first) => {
    const arrow = inPlan([0, 0], [4, -3], [1, 0], [4, 3]);
    check([...arrow.slice(first), ...arrow.slice(0, first)]);
  });

  test('a quad with three corners in line is not cut into a piece without area', () => {
    const quad = inPlan([0, 0], [1, 0], [2, 0], [1, 2]);
    check(quad);
    const triangles = pieces(quad);
    const [a, b, c] = triangles.map((i) => quad[i]!) as [Point, Point, Point];
    expect(Math.hypot(...cross(a, b, c))).toBeGreaterThan(0.5);
  });

  test('corners on straight edges of a concave face are kept: the neighbours meet there', () => {
    check(
      inPlan([0, 0], [1, 0], [2, 0], [3, 0], [3, 1], [3, 3], [2, 3], [2, 1], [1, 1], [1, 2], [1, 3], [0, 3], [0, 1.5]),
    );
  });

  test('a comb of 400 teeth', () => {
    const teeth = Array.from({ length: 400 }, (_, i): [number, number][] => [
      [400 - i, 1],
      [400 - i - 0.5, 0.1],
    ]).flat();
    check(inPlan([0, 0], [400, 0], ...teeth, [0, 1]));
  });

  test('a quad out of plane keeps its outline', () => {
    const quad: Point[] = [
      [0, 0, 0],
      [1, 0, 0.3],
      [1, 1, 0],
      [0, 1, 0.3],
    ];
    expect(rim(pieces(quad))).toEqual(outline(4));
  });

  test('a face that crosses itself, or has corners twice, keeps its outline and count', () => {
    const bow = inPlan([0, 0], [1, 1], [1, 0], [0, 1]);
    expect(rim(pieces(bow))).toEqual(outline(4));
    const star = inPlan(...[0, 2, 4, 1, 3].map((i): [number, number] => [Math.cos(i * 1.2566), Math.sin(i * 1.2566)]));
    expect(rim(pieces(star))).toEqual(outline(5));
    expect(pieces(inPlan([0, 0], [0, 0], [0, 0], [0, 0], [0, 0])).length).toBe(9);
  });
});

const seed = 417;

test(`star-shaped faces in any plane, with corners on their edges (seed ${seed})`, () => {
  const spoke = fc.double({ min: 0.2, max: 5, noNaN: true });
  const number = fc.double({ min: -1, max: 1, noNaN: true });
  fc.assert(
    fc.property(
      fc.array(spoke, { minLength: 4, maxLength: 40 }),
      number,
      number,
      fc.nat(40),
      (radii, tilt, turn, split) => {
        const flat = radii.map((r, i): [number, number] => {
          const angle = (2 * Math.PI * i) / radii.length;
          return [r * Math.cos(angle), r * Math.sin(angle)];
        });
        const at = split % flat.length;
        const [a, b] = [flat[at]!, flat[(at + 1) % flat.length]!];
        flat.splice(at + 1, 0, [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2]);
        const [cu, su, cv, sv] = [Math.cos(3 * tilt), Math.sin(3 * tilt), Math.cos(3 * turn), Math.sin(3 * turn)];
        check(
          flat.map(([x, y]): Point => {
            const [px, py, pz] = [x, y * cu, y * su];
            return [px * cv - pz * sv, py, px * sv + pz * cv];
          }),
          6,
        );
      },
    ),
    { seed, numRuns: 300 },
  );
});
