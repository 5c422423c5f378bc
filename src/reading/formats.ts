import type { MeshFormat } from './format.js';
import { gzip } from './gzip.js';
import { obj } from './obj.js';
import { ply } from './ply.js';
import { stlAscii } from './stl-ascii.js';
import { stlBinary } from './stl-binary.js';
import { threeMf } from './three-mf.js';

/** Every format that can be read. Where two are equally sure of a file, the first has it: those with a signature lead. */
export const formats: readonly MeshFormat[] = [gzip, threeMf, ply, stlAscii, obj, stlBinary];
