/** Quick looks at a mesh against the plain ways that they spare. */
import { describe, expect, test } from 'vitest';
import { mulberry32 } from '../../fixtures/make/random.js';
import { coherenceOf } from '../../src/mesh/coherence.js';
import { oppositeHalfEdges } from '../../src/mesh/half-edges.js';
import { shellsOf } from '../../src/mesh/shells.js';

/** Closed tetrahedra on random vertices, some of them shared; then perhaps a triangle dropped, turned or doubled. */
function randomTriangles(seed: number): { triangles: Uint32Array; vertices: number } {
  const random = mulberry32(seed);
  const vertices = 4 + Math.floor(random() * 12);
  const list: number[][] = [];
  for (let k = 0; k <= Math.floor(random() * 4); k++) {
    const [a, b, c, d] = Array.from({ length: vertices }, (_, v) => v)
      .sort(() => random() - 0.5)
      .slice(0, 4) as [number, number, number, number];
    list.push([a, b, c], [a, c, d], [a, d, b], [b, d, c]);
  }
  const hurt = Math.floor(random() * 6);
  const at = Math.floor(random() * list.length);
  if (hurt === 0) list.splice(at, 1);
  if (hurt === 1) list[at] = list[at]!.toReversed();
  if (hurt === 2) list.push(list[at]!);
  return { triangles: Uint32Array.from(list.flat()), vertices };
}

describe.each([1, 2, 3, 4])('seed %i', (block) => {
  const meshes = Array.from({ length: 250 }, (_, k) => randomTriangles(1000 * block + k));

  test('balanced just where every half-edge finds an opposite one', () => {
    const answers = meshes.map(({ triangles, vertices }) => {
      const isClosed = !oppositeHalfEdges(triangles, vertices).includes(-1);
      const positions = new Float64Array(3 * vertices);
      expect(coherenceOf({ positions, triangles }).isBalanced).toBe(isClosed);
      return isClosed;
    });
    expect(new Set(answers).size).toBe(2);
  });

  test('one shell just where there is one', () => {
    const answers = meshes.map(({ triangles, vertices }) => {
      const mesh = { positions: new Float64Array(3 * vertices), triangles };
      const isOne = shellsOf(mesh).length === 1;
      expect(coherenceOf(mesh).isOneShell).toBe(isOne);
      return isOne;
    });
    expect(new Set(answers).size).toBe(2);
  });
});
