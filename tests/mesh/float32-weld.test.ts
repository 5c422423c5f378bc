import { describe, expect, test } from 'vitest';
import { mulberry32, permutation } from '../../fixtures/make/random.js';
import { Float32Store } from '../../src/mesh/float32-store.js';
import { Float32Weld } from '../../src/mesh/float32-weld.js';
import { RecentWeld } from '../../src/mesh/recent-weld.js';
import { TableWeld } from '../../src/mesh/table-weld.js';
import { Weld } from '../../src/mesh/weld.js';

/** Corner coordinates, nine a triangle. */
type Soup = Float32Array;

/** As records with five bytes between them, at an odd place. */
function records(soup: Soup): DataView {
  const count = soup.length / 9;
  const view = new DataView(new ArrayBuffer(1 + 41 * count));
  for (let i = 0; i < soup.length; i++) view.setFloat32(1 + 41 * Math.floor(i / 9) + 4 * (i % 9), soup[i]!, true);
  return view;
}

/** Byte by byte: the runner's own comparison of large arrays takes seconds. */
function expectSame(a: ReturnType<typeof plainly>, b: ReturnType<typeof plainly>): void {
  for (const key of ['positions', 'triangles'] as const) {
    expect(a[key].length).toBe(b[key].length);
    const [ours, theirs] = [a[key], b[key]].map(({ buffer, byteOffset, byteLength }) =>
      Buffer.from(buffer, byteOffset, byteLength),
    );
    expect(ours!.equals(theirs!)).toBe(true);
  }
}

function welded(soup: Soup, room: number) {
  const weld = new Float32Weld(room);
  const [view, count] = [records(soup), soup.length / 9];
  // in two calls, as a file comes in chunks
  const half = count >> 1;
  expect(weld.addTriangles(view, 1, 41, half, 1e6)).toBe(half);
  expect(weld.addTriangles(view, 1 + 41 * half, 41, count - half, 1e6)).toBe(count - half);
  return weld.take();
}

/** The plain way: one vertex after the other, asked of a table of all. */
function plainly(soup: Soup) {
  const weld = new Weld();
  const triangles = new Uint32Array(soup.length / 3);
  for (let i = 0; i < triangles.length; i++) triangles[i] = weld.add(soup[3 * i]!, soup[3 * i + 1]!, soup[3 * i + 2]!);
  return { positions: weld.takePositions(), triangles };
}

/** A sheet of 2 n² triangles in rows; `again`: its first triangles once more at the end, far from their neighbours. */
function sheet(n: number, again: number): Soup {
  const uniform = mulberry32(n);
  const z = Float32Array.from({ length: (n + 1) ** 2 }, () => uniform() - 0.5);
  const soup: number[] = [];
  const corner = (row: number, column: number) => soup.push(column / 8, row / 8, z[row * (n + 1) + column]!);
  for (let row = 0; row < n; row++) {
    for (let column = 0; column < n; column++) {
      corner(row, column);
      corner(row, column + 1);
      corner(row + 1, column + 1);
      corner(row, column);
      corner(row + 1, column + 1);
      corner(row + 1, column);
    }
  }
  return Float32Array.from(soup.concat(soup.slice(0, 9 * again)));
}

function joined(a: Soup, b: Soup): Soup {
  const both = new Float32Array(a.length + b.length);
  both.set(a);
  both.set(b, a.length);
  return both;
}

function shuffled(soup: Soup): Soup {
  const order = permutation(soup.length / 9, mulberry32(3));
  return soup.map((_, i) => soup[9 * order[Math.floor(i / 9)]! + (i % 9)]!);
}

describe.each([1, 4000, 180_000])('from room for %d triangles', (room) => {
  test.each([
    // more vertices than the recent ones that are kept
    ['a sheet in rows', sheet(300, 0)],
    ['a sheet whose first rows come again at its end', sheet(300, 30_000)],
    ['a sheet given twice', sheet(280, 2 * 280 ** 2)],
    ['a sheet in random order', shuffled(sheet(300, 0))],
    ['a sheet with a part in random order behind it', joined(sheet(200, 0), shuffled(sheet(260, 0)))],
    ['three triangles', sheet(1, 1)],
  ])('%s: the same vertices under the same numbers as one by one', (_, soup) => {
    expectSame(welded(soup, room), plainly(soup));
  });
});

test('points on a coarse grid, many to a place, and -0 (seed 11)', () => {
  const uniform = mulberry32(11);
  const soup = Float32Array.from({ length: 9 * 20_000 }, () => {
    const value = Math.floor(uniform() * 24) / 8 - 1.5;
    return value === 0 && uniform() < 0.5 ? -0 : value;
  });
  const { positions, triangles } = welded(soup, 100);
  expectSame({ positions, triangles }, plainly(soup));
  expect(positions.some((value) => Object.is(value, -0))).toBe(false);
});

test('the weld of recent vertices and the table of all give the same (seed 5)', () => {
  const soup = shuffled(sheet(150, 2000));
  const [view, count] = [records(soup), soup.length / 9];
  const results = [RecentWeld, TableWeld].map((kind) => {
    const store = new Float32Store(count);
    const way = kind === TableWeld ? new TableWeld(store) : new RecentWeld(1);
    store.makeRoom(count);
    expect(way.addBatch(store, view, 1, 41, count, 0x7f000000)).toBe(count);
    if (way instanceof RecentWeld) way.settle(store);
    return store.take();
  });
  for (const result of results) expectSame(result, plainly(soup));
});

test('a sheet in rows is never at a loss; one in random order is', () => {
  const losses = [sheet(300, 0), shuffled(sheet(300, 0))].map((soup) => {
    const [view, count] = [records(soup), soup.length / 9];
    const store = new Float32Store(count);
    const weld = new RecentWeld(count / 2);
    store.makeRoom(count);
    weld.addBatch(store, view, 1, 41, count, 0x7f000000);
    return weld.isAtALoss(store);
  });
  expect(losses).toEqual([false, true]);
});

test.each([Number.NaN, Number.NEGATIVE_INFINITY, 1001, -1e30])(
  'a triangle with %d is left out, and all behind it',
  (bad) => {
    const numbers = Float32Array.from({ length: 9 * 7 }, (_, i) => i % 10);
    numbers[9 * 5 + 4] = bad;
    const view = new DataView(numbers.buffer);
    expect(new Float32Weld().addTriangles(view, 0, 36, 7, 1000)).toBe(5);
    numbers[9 * 5 + 4] = 1000;
    expect(new Float32Weld().addTriangles(view, 0, 36, 7, 1000)).toBe(7);
  },
);
