import { Fault } from '../base/fault.js';

/** Meshes shrink to a tenth, text of round numbers to a fiftieth; more is no mesh, but made to fill the memory. */
const largestRatio = 200;
const alwaysAllowed = 2 ** 26;
const largest = 2 ** 35;

/** Counts what comes out of a compressed file, and refuses more than a mesh can be. */
export class UnpackedSize {
  unpacked = 0;
  private packed = 0;

  addPacked(bytes: number): void {
    this.packed += bytes;
  }

  addUnpacked(bytes: number): void {
    this.unpacked += bytes;
    if (this.unpacked > Math.min(largest, Math.max(alwaysAllowed, largestRatio * this.packed))) {
      throw new Fault({
        code: 'unpacked-too-large',
        message: `The compressed file unpacks to more than ${Math.floor(this.unpacked / 2 ** 20)} MB, which no mesh of its size does.`,
        remedy: 'Do not use it unless you know where it comes from; otherwise export the mesh uncompressed.',
      });
    }
  }
}
