import { copyFileSync, rmSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { type CgalCost, type PeerName, runAdmesh, runCgal, runOurRead, runVtk } from './peers.js';
import { type Row, twoRows } from './rows.js';
import { type Cost, inTurn, runProcess } from './run-process.js';

const main = resolve(import.meta.dirname, '../../dist/cli/main.js');

/** The program itself, as a person starts it. */
export const plateful = (...args: string[]) => runProcess(process.execPath, [main, ...args]);

export const millions = (triangles: number) => `${triangles / 1e6} M`;

/** Our surveys of one plate, the quick one and the whole one, in turn with the peers. */
export async function benchSurveys(
  file: string,
  triangles: number,
  peers: ReadonlySet<PeerName>,
  repeats: number,
): Promise<{ rows: Row[]; quick: Cost; whole: Cost }> {
  const size = millions(triangles);
  // On a small plate starting up is most of it: the limits are for a scan.
  const limit = (most: string) => (triangles >= 1e6 ? most : null);
  const has = (name: PeerName) => peers.has(name);
  const ours = {
    quick: () => plateful('survey', file, '--quick', '--json'),
    whole: () => plateful('survey', file, '--json'),
    read: () => runOurRead(file),
    ...(has('vtk') && { vtk: () => runVtk(file) }),
    ...(has('admesh') && { admesh: () => runAdmesh(file) }),
    ...(has('cgal') && { cgal: () => runCgal(file, false) }),
  };
  const costs = (await inTurn(ours, repeats)) as Record<string, Cost>;
  const { quick, whole, read } = costs as { quick: Cost; whole: Cost; read: Cost };
  const rows: Row[] = [];
  if (costs.cgal !== undefined) {
    const cgal = costs.cgal as CgalCost;
    rows.push(...twoRows(`survey --quick, ${size}`, quick, 'CGAL reads, cuts and splits', cgal.split, limit('0.5')));
    rows.push(...twoRows(`survey, ${size}`, whole, 'CGAL, and its sdf_values', cgal, limit('0.35')));
    checkVolumes(quick, cgal.volumesMm3);
    checkVolumes(whole, cgal.volumesMm3);
  }
  if (costs.vtk !== undefined) rows.push(...twoRows(`read and sum the volume, ${size}`, read, 'VTK', costs.vtk, null));
  if (costs.admesh !== undefined) {
    rows.push(...twoRows(`read and sum the volume, ${size}`, read, 'admesh', costs.admesh, null));
  }
  return { rows, quick, whole };
}

/** A fast wrong answer is none: the volumes must be those that the peer finds, but for the film its lid leaves out. */
function checkVolumes({ out }: Cost, theirs: readonly number[]): void {
  const { cavities } = JSON.parse(out) as { cavities: { volumeMm3: number }[] };
  const volumes = cavities.map(({ volumeMm3 }) => volumeMm3).sort((a, b) => a - b);
  const worst = Math.max(...volumes.map((volume, i) => Math.abs(volume - theirs[i]!) / volume));
  if (volumes.length !== theirs.length || worst > 0.005) throw new Error(`the volumes differ: ${volumes}; ${theirs}`);
}

/** How time and memory grow from one size to the next, per triangle. */
export function growthRows(
  what: string,
  small: { triangles: number; cost: Cost },
  large: { triangles: number; cost: Cost },
  limit: string,
): Row[] {
  const each = ({ triangles, cost }: typeof small) => (1000 * cost.wallMs) / triangles;
  const cpuEach = ({ triangles, cost }: typeof small) => (1000 * cost.cpuMs) / triangles;
  const most = (300 * large.triangles) / 1e6 + 300;
  const name = `${what}, a triangle of ${millions(large.triangles)}`;
  const peer = `a triangle of ${millions(small.triangles)}`;
  return [
    { what: name, ours: each(large), peer, theirs: each(small), unit: 'µs', limit },
    { what: `${name}, processor`, ours: cpuEach(large), peer, theirs: cpuEach(small), unit: 'µs', limit: null },
    {
      what: `${what}, peak memory at ${millions(large.triangles)}`,
      ours: large.cost.peakMB,
      peer: '300 bytes a triangle + 300 MB',
      theirs: most,
      unit: 'MB',
      limit: '1',
    },
  ];
}

/** `--help` against the host that does nothing. */
export async function benchStart(repeats: number): Promise<Row> {
  const { help, nothing } = await inTurn(
    { help: () => plateful('--help'), nothing: () => runProcess(process.execPath, ['-e', '0']) },
    2 * repeats + 1,
  );
  const costs = { ours: help.wallMs, peer: 'node -e 0', theirs: nothing.wallMs };
  return { what: 'plateful --help', ...costs, unit: 'ms wall', limit: '2' };
}

/** Four files at once against one after the other, each of which has all cores to itself. */
export async function benchMany(folder: string, file: string, triangles: number, repeats: number): Promise<Row> {
  const files = [1, 2, 3, 4].map((k) => join(folder, `copy-${k}.stl`));
  for (const copy of files) copyFileSync(file, copy);
  const { single, many } = await inTurn(
    {
      single: async () => {
        const costs: Cost[] = [];
        for (const copy of files) costs.push(await plateful('survey', copy, '--json'));
        const sum = (of: (cost: Cost) => number) => costs.reduce((total, cost) => total + of(cost), 0);
        return { ...costs[0]!, wallMs: sum((cost) => cost.wallMs), cpuMs: sum((cost) => cost.cpuMs) };
      },
      many: () => plateful('survey', ...files, '--json-lines'),
    },
    Math.min(3, repeats),
  );
  for (const copy of files) rmSync(copy);
  const costs = { ours: many.wallMs, peer: 'one after the other', theirs: single.wallMs };
  return { what: `four files of ${millions(triangles)}, --json-lines`, ...costs, unit: 'ms wall', limit: null };
}
