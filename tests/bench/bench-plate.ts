import { closeSync, openSync, readFileSync, writeFileSync, writeSync } from 'node:fs';
import { mulberry32, permutation } from '../../fixtures/make/random.js';

/** A paraboloid, which falls away from its rim at once. Lengths in mm. */
export interface Bowl {
  readonly x: number;
  readonly y: number;
  readonly radius: number;
  readonly depth: number;
}

const lengthMm = 200;
const widthMm = 140;
const blockMm = 15;

/** Two rows of pieces, from a wide flat one to a small deep one. */
const twoRows: readonly Bowl[] = [
  { x: 40, y: 100, radius: 30, depth: 6 },
  { x: 102, y: 100, radius: 28, depth: 3 },
  { x: 162, y: 100, radius: 30, depth: 9 },
  { x: 35, y: 35, radius: 27, depth: 5 },
  { x: 84, y: 35, radius: 19, depth: 8 },
  { x: 122, y: 35, radius: 15, depth: 2 },
  { x: 168, y: 35, radius: 26, depth: 4 },
];

/** A square number of equal bowls: how the cost grows with their number and their rims. */
export function manyBowls(across: number): Bowl[] {
  const [dx, dy] = [lengthMm / across, widthMm / across];
  return Array.from({ length: across * across }, (_, k) => ({
    x: dx * ((k % across) + 0.5),
    y: dy * (Math.floor(k / across) + 0.5),
    radius: 0.42 * dy,
    depth: 4,
  }));
}

function heightAt(bowls: readonly Bowl[], x: number, y: number): number {
  for (const bowl of bowls) {
    const square = ((x - bowl.x) ** 2 + (y - bowl.y) ** 2) / bowl.radius ** 2;
    // A little relief, nothing at the rim and in the middle of it, so that no wall is quite smooth.
    if (square < 1) return -(1 - square) * (bowl.depth + 0.3 * square * Math.sin(1.3 * x) * Math.cos(1.7 * y));
  }
  return 0;
}

/**
 * Writes a closed mould block as a binary STL, row by row as a scanner does, with about so many triangles; never holds
 * more than a row, so that a file of a gigabyte can be made anywhere.
 * @param noiseMm standard deviation of the face's heights
 * @returns the number of triangles
 */
export function writeBenchPlate(path: string, triangles: number, noiseMm = 0, bowls = twoRows): number {
  const columns = Math.round(Math.sqrt(((triangles / 2) * lengthMm) / widthMm));
  const rows = Math.round(triangles / 2 / columns);
  const random = mulberry32(1);
  const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  const count = 2 * columns * rows + 6 * (columns + rows);
  const file = openSync(path, 'w');
  const header = Buffer.alloc(84);
  header.writeUInt32LE(count, 80);
  writeSync(file, header);
  const x = (i: number) => (i * lengthMm) / columns;
  const y = (j: number) => (j * widthMm) / rows;
  const heights = (j: number) =>
    Float64Array.from({ length: columns + 1 }, (_, i) => {
      const isBorder = i === 0 || j === 0 || i === columns || j === rows;
      return heightAt(bowls, x(i), y(j)) + (noiseMm > 0 && !isBorder ? noiseMm * normal() : 0);
    });
  const facets = new Facets(file, 4 * columns + 4);
  let front = heights(0);
  for (let j = 0; j < rows; j++) {
    const back = heights(j + 1);
    for (let i = 0; i < columns; i++) {
      const [a, b] = [x(i), x(i + 1)];
      const [c, d] = [y(j), y(j + 1)];
      facets.add(a, c, front[i]!, b, c, front[i + 1]!, b, d, back[i + 1]!);
      facets.add(a, c, front[i]!, b, d, back[i + 1]!, a, d, back[i]!);
    }
    front = back;
    facets.flush();
  }
  const border: [number, number][] = [];
  for (let i = 0; i < columns; i++) border.push([x(i), 0]);
  for (let j = 0; j < rows; j++) border.push([lengthMm, y(j)]);
  for (let i = columns; i > 0; i--) border.push([x(i), widthMm]);
  for (let j = rows; j > 0; j--) border.push([0, y(j)]);
  border.forEach(([px, py], k) => {
    const [qx, qy] = border[(k + 1) % border.length]!;
    facets.add(px, py, -blockMm, qx, qy, -blockMm, qx, qy, 0);
    facets.add(px, py, -blockMm, qx, qy, 0, px, py, 0);
    facets.add(qx, qy, -blockMm, px, py, -blockMm, lengthMm / 2, widthMm / 2, -blockMm);
    if (k % 1000 === 0) facets.flush();
  });
  facets.flush();
  closeSync(file);
  return count;
}

/** Writes the same triangles in random order. */
export function writeShuffled(from: string, to: string): void {
  const bytes = readFileSync(from);
  const out = Buffer.alloc(bytes.length);
  bytes.copy(out, 0, 0, 84);
  permutation(bytes.readUInt32LE(80), mulberry32(2)).forEach((t, i) => {
    bytes.copy(out, 84 + 50 * i, 84 + 50 * t, 134 + 50 * t);
  });
  writeFileSync(to, out);
}

/** Facets of a binary STL on their way to a file; normals stay zero, as the format allows. */
class Facets {
  private bytes: Buffer;
  private used = 0;

  constructor(
    private readonly file: number,
    room: number,
  ) {
    this.bytes = Buffer.alloc(50 * Math.max(4000, room));
  }

  add(...corners: number[]): void {
    const at = 50 * this.used++ + 12;
    for (let k = 0; k < 9; k++) this.bytes.writeFloatLE(corners[k]!, at + 4 * k);
  }

  flush(): void {
    writeSync(this.file, this.bytes, 0, 50 * this.used);
    this.used = 0;
  }
}
