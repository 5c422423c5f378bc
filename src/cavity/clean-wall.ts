import { isOneShell } from '../mesh/shells.js';
import type { TriangleMesh } from '../mesh/triangle-mesh.js';
import { deepParts } from './deep-parts.js';
import type { WallField } from './wall-field.js';

/**
 * The wall of a mesh without noise: heights are taken as they are, those within `snapMm` of the scrape surface as 0.
 * The shallow rest of each hollow is given out from the deepest vertex upward, so that hollows which a shallow saddle
 * joins part at the saddle (a watershed).
 */
export function cleanWall(mesh: TriangleMesh, limitMm: number, snapMm: number): WallField {
  const n = mesh.positions.length / 3;
  const z = new Float64Array(n);
  for (let v = 0; v < n; v++) {
    const height = mesh.positions[3 * v + 2]!;
    z[v] = Math.abs(height) <= snapMm ? 0 : height;
  }
  const { labels, count } = deepParts(mesh, z, limitMm);
  giveOutShallows(mesh, z, labels);
  return { z, calm: z, labels, count, noiseMm: 0, reach: labels, standsOutMm: isOneShell(mesh) ? null : 0 };
}

/**
 * Labels the shallow rest of each hollow.
 * @param labels of the deep vertices; those under the scrape surface that reach one get its label
 */
export function giveOutShallows(mesh: TriangleMesh, z: Float64Array, labels: Int32Array): void {
  const { triangles } = mesh;
  // Neighbour lists of the vertices that lie under the scrape surface but not deep: few of a large mesh.
  const shallow = new Uint8Array(z.length);
  for (let v = 0; v < shallow.length; v++) shallow[v] = z[v]! < 0 && labels[v] === 0 ? 1 : 0;
  const degree = new Uint32Array(z.length + 1);
  const eachSide = (visit: (from: number, to: number) => void) => {
    for (let t = 0; t < triangles.length; t += 3) {
      const a = triangles[t]!;
      const b = triangles[t + 1]!;
      const c = triangles[t + 2]!;
      if (shallow[a] === 0 && shallow[b] === 0 && shallow[c] === 0) continue;
      visit(a, b);
      visit(b, c);
      visit(c, a);
      visit(b, a);
      visit(c, b);
      visit(a, c);
    }
  };
  eachSide((from, to) => {
    if (shallow[from] === 1 && z[to]! < 0) degree[from + 1]!++;
  });
  for (let v = 0; v < z.length; v++) degree[v + 1]! += degree[v]!;
  const start = degree;
  const neighbours = new Uint32Array(start[z.length]!);
  const filled = start.slice();
  eachSide((from, to) => {
    if (shallow[from] === 1 && z[to]! < 0) neighbours[filled[from]!++] = to;
  });
  const shallows: number[] = [];
  for (let v = 0; v < z.length; v++) if (shallow[v] === 1) shallows.push(v);
  shallows.sort((a, b) => z[a]! - z[b]! || a - b);
  // Deepest first. A vertex whose neighbours are all unlabelled waits until one of them gets a label.
  for (const first of shallows) {
    if (labels[first] !== 0) continue;
    const label = lowestLabel(first);
    if (label === 0) continue;
    labels[first] = label;
    const stack = [first];
    while (stack.length > 0) {
      const v = stack.pop()!;
      for (let i = start[v]!; i < start[v + 1]!; i++) {
        const w = neighbours[i]!;
        if (labels[w] !== 0 || z[w]! > z[first]!) continue;
        labels[w] = labels[v]!;
        stack.push(w);
      }
    }
  }

  function lowestLabel(v: number): number {
    let label = 0;
    let lowest = Infinity;
    for (let i = start[v]!; i < start[v + 1]!; i++) {
      const w = neighbours[i]!;
      if (labels[w] !== 0 && z[w]! < lowest) {
        lowest = z[w]!;
        label = labels[w]!;
      }
    }
    return label;
  }
}
