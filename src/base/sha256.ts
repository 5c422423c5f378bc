/** A hash that takes bytes as they come. */
export interface Hasher {
  update(bytes: Uint8Array): void;
  /** The digest of all bytes so far, lower-case hex. Call it once, at the end. */
  digestHex(): string | Promise<string>;
}

/**
 * SHA-256 (FIPS 180-4) over bytes as they come, in plain JavaScript: browsers only hash whole buffers, and a scan does
 * not fit into one. About 150 MB a second; a host with a faster one passes it in with the source.
 */
export class Sha256 implements Hasher {
  private readonly state = Int32Array.from(initialState);
  private readonly schedule = new Int32Array(64);
  private readonly block = new Uint8Array(64);
  private inBlock = 0;
  private total = 0;

  update(bytes: Uint8Array): void {
    let at = 0;
    this.total += bytes.length;
    if (this.inBlock > 0) {
      at = Math.min(64 - this.inBlock, bytes.length);
      this.block.set(bytes.subarray(0, at), this.inBlock);
      this.inBlock += at;
      if (this.inBlock < 64) return;
      compress(this.state, this.schedule, this.block, 0);
    }
    for (; at + 64 <= bytes.length; at += 64) compress(this.state, this.schedule, bytes, at);
    this.block.set(bytes.subarray(at));
    this.inBlock = bytes.length - at;
  }

  digestHex(): string {
    const tail = new Uint8Array((this.inBlock < 56 ? 64 : 128) - this.inBlock);
    tail[0] = 0x80;
    const bits = new DataView(tail.buffer);
    bits.setUint32(tail.length - 8, Math.floor(this.total / 2 ** 29));
    bits.setUint32(tail.length - 4, (this.total % 2 ** 29) * 8);
    this.update(tail);
    return Array.from(this.state, (word) => (word >>> 0).toString(16).padStart(8, '0')).join('');
  }
}

function firstPrimes(count: number): number[] {
  const primes: number[] = [];
  for (let n = 2; primes.length < count; n++) if (primes.every((p) => n % p !== 0)) primes.push(n);
  return primes;
}

/** The first 32 bits of the fraction of a root: how FIPS 180-4 (4.2.2, 5.3.3) defines its constants. */
function fractionBits(root: number): number {
  return Math.floor((root - Math.floor(root)) * 2 ** 32) | 0;
}

const initialState = Int32Array.from(firstPrimes(8), (p) => fractionBits(Math.sqrt(p)));
const roundConstants = Int32Array.from(firstPrimes(64), (p) => fractionBits(Math.cbrt(p)));

/** One block of 64 bytes (FIPS 180-4, 6.2.2). */
function compress(state: Int32Array, w: Int32Array, bytes: Uint8Array, at: number): void {
  for (let t = 0, i = at; t < 16; t++, i += 4) {
    w[t] = (bytes[i]! << 24) | (bytes[i + 1]! << 16) | (bytes[i + 2]! << 8) | bytes[i + 3]!;
  }
  for (let t = 16; t < 64; t++) {
    const x = w[t - 15]!;
    const y = w[t - 2]!;
    const s0 = ((x >>> 7) | (x << 25)) ^ ((x >>> 18) | (x << 14)) ^ (x >>> 3);
    const s1 = ((y >>> 17) | (y << 15)) ^ ((y >>> 19) | (y << 13)) ^ (y >>> 10);
    w[t] = (w[t - 16]! + s0 + w[t - 7]! + s1) | 0;
  }
  let a = state[0]!;
  let b = state[1]!;
  let c = state[2]!;
  let d = state[3]!;
  let e = state[4]!;
  let f = state[5]!;
  let g = state[6]!;
  let h = state[7]!;
  for (let t = 0; t < 64; t++) {
    const S1 = ((e >>> 6) | (e << 26)) ^ ((e >>> 11) | (e << 21)) ^ ((e >>> 25) | (e << 7));
    const t1 = (h + S1 + ((e & f) ^ (~e & g)) + roundConstants[t]! + w[t]!) | 0;
    const S0 = ((a >>> 2) | (a << 30)) ^ ((a >>> 13) | (a << 19)) ^ ((a >>> 22) | (a << 10));
    const t2 = (S0 + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    h = g;
    g = f;
    f = e;
    e = (d + t1) | 0;
    d = c;
    c = b;
    b = a;
    a = (t1 + t2) | 0;
  }
  state[0] = (state[0]! + a) | 0;
  state[1] = (state[1]! + b) | 0;
  state[2] = (state[2]! + c) | 0;
  state[3] = (state[3]! + d) | 0;
  state[4] = (state[4]! + e) | 0;
  state[5] = (state[5]! + f) | 0;
  state[6] = (state[6]! + g) | 0;
  state[7] = (state[7]! + h) | 0;
}
