import type { BufferGeometry, Group } from 'three';
import * as threeStdlib from 'three-stdlib';

interface Loader<Input, Output> {
  parse(data: Input): Output;
}

interface Loaders {
  readonly STLLoader: new () => Loader<ArrayBuffer, BufferGeometry>;
  readonly OBJLoader: new () => Loader<string, Group>;
  readonly PLYLoader: new () => Loader<ArrayBuffer | string, BufferGeometry>;
}

/** The package's own types name their files without an ending, where a Node resolver does not find them. */
const { OBJLoader, PLYLoader, STLLoader } = threeStdlib as unknown as Loaders;

export const stlLoader = new STLLoader();
export const objLoader = new OBJLoader();
export const plyLoader = new PLYLoader();
