import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, statSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { type Cost, runProcess } from './run-process.js';

const here = resolve(import.meta.dirname, 'peers');
const root = resolve(import.meta.dirname, '../..');
const program = join(root, '.cache/bench/cgal-survey');

export const peerNames = ['cgal', 'vtk', 'admesh', 'three'] as const;
export type PeerName = (typeof peerNames)[number];

/** Which of the peers that are asked for are installed; says which are not. */
export function installedPeers(asked: readonly string[]): Set<PeerName> {
  const found = new Set<PeerName>();
  for (const name of peerNames) {
    if (!asked.includes(name)) continue;
    if (isThere[name]()) found.add(name);
    else console.log(`Left out: ${name} is not installed (${packages[name]}).`);
  }
  return found;
}

const packages = {
  cgal: 'Debian libcgal-dev and g++',
  vtk: 'Debian python3-vtk9',
  admesh: 'Debian admesh',
  three: 'npm ci',
};

const works = (command: string, ...args: string[]) => spawnSync(command, args, { stdio: 'ignore' }).status === 0;

const isThere: Record<PeerName, () => boolean> = {
  cgal: buildCgal,
  vtk: () => works('/usr/bin/python3', '-c', 'import vtkmodules.vtkIOGeometry'),
  admesh: () => works('admesh', '--version'),
  three: () => true,
};

function buildCgal(): boolean {
  const source = join(here, 'cgal-survey.cpp');
  if (existsSync(program) && statSync(program).mtimeMs > statSync(source).mtimeMs) return true;
  if (!existsSync('/usr/include/CGAL/version.h') || !works('g++', '--version')) return false;
  console.log('Compiling the CGAL program (about a minute) ...');
  mkdirSync(join(root, '.cache/bench'), { recursive: true });
  const flags = ['-O3', '-DNDEBUG', '-std=c++17', '-march=native'];
  execFileSync('g++', [...flags, source, '-o', program, '-lgmp', '-lmpfr'], { stdio: 'inherit' });
  return true;
}

/** The CGAL program's own figures: from its start to the end of the split, and of the whole. */
export interface CgalCost extends Cost {
  readonly split: Pick<Cost, 'wallMs' | 'cpuMs'>;
  readonly volumesMm3: readonly number[];
}

export async function runCgal(file: string, quick: boolean): Promise<CgalCost> {
  const cost = await runProcess(program, [file, ...(quick ? ['--quick'] : [])]);
  const { splitMs, splitCpuMs, wholeMs, wholeCpuMs, volumesMm3 } = JSON.parse(cost.out);
  return {
    ...cost,
    wallMs: wholeMs ?? splitMs,
    cpuMs: wholeCpuMs ?? splitCpuMs,
    split: { wallMs: splitMs, cpuMs: splitCpuMs },
    volumesMm3,
  };
}

export const runVtk = (file: string) => runProcess('/usr/bin/python3', [join(here, 'vtk-volume.py'), file]);
export const runAdmesh = (file: string) => runProcess('admesh', ['--exact', file]);
export const runOurRead = (file: string) => runProcess(process.execPath, [join(here, 'read-volume.mjs'), file]);
