// Reads and welds a mesh and sums its volume, and nothing else: what VTK and admesh are asked for too.
import { fileSource } from '../../../dist/cli/file-source.js';
import { readMesh } from '../../../dist/src/reading/read-mesh.js';

const { mesh } = await readMesh(await fileSource(process.argv[2]));
const { positions: p, triangles } = mesh;
let six = 0;
for (let t = 0; t < triangles.length; t += 3) {
  const a = 3 * triangles[t];
  const b = 3 * triangles[t + 1];
  const c = 3 * triangles[t + 2];
  six +=
    p[a] * (p[b + 1] * p[c + 2] - p[b + 2] * p[c + 1]) -
    p[a + 1] * (p[b] * p[c + 2] - p[b + 2] * p[c]) +
    p[a + 2] * (p[b] * p[c + 1] - p[b + 1] * p[c]);
}
console.log(six / 6);
