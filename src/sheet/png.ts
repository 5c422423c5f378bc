import { zlibSync } from 'fflate';

/** CRC-32 of ISO 3309, as the PNG specification (ISO/IEC 15948, annex D) gives it. */
const crcTable = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let bit = 0; bit < 8; bit++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c;
});

function crc32(bytes: Uint8Array): number {
  let crc = 0xffffffff;
  for (const byte of bytes) crc = crcTable[(crc ^ byte) & 0xff]! ^ (crc >>> 8);
  return (crc ^ 0xffffffff) >>> 0;
}

function chunk(type: string, data: Uint8Array): Uint8Array {
  const bytes = new Uint8Array(12 + data.length);
  const view = new DataView(bytes.buffer);
  view.setUint32(0, data.length);
  for (let i = 0; i < 4; i++) bytes[4 + i] = type.charCodeAt(i);
  bytes.set(data, 8);
  view.setUint32(8 + data.length, crc32(bytes.subarray(4, 8 + data.length)));
  return bytes;
}

const signature = Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a);

/**
 * A picture as PNG (ISO/IEC 15948): 8 bits a channel, no interlace.
 * @param pixels red, green, blue and, where there are four channels, alpha, per pixel, rows from the top
 * @param pixelsPerMm the scale it prints at, where it has one
 */
export function encodePng(
  width: number,
  height: number,
  pixels: Uint8Array | Uint8ClampedArray,
  channels: 3 | 4,
  pixelsPerMm?: number,
): Uint8Array {
  const stride = width * channels;
  // Each row is stored as its difference from the row above (filter type 2): plans are mostly flat.
  const rows = new Uint8Array(height * (stride + 1));
  for (let y = 0; y < height; y++) {
    const at = y * (stride + 1);
    rows[at] = 2;
    for (let i = 0; i < stride; i++) {
      rows[at + 1 + i] = pixels[y * stride + i]! - (y === 0 ? 0 : pixels[(y - 1) * stride + i]!);
    }
  }
  const header = new Uint8Array(13);
  const view = new DataView(header.buffer);
  view.setUint32(0, width);
  view.setUint32(4, height);
  header.set([8, channels === 3 ? 2 : 6, 0, 0, 0], 8);
  const parts = [signature, chunk('IHDR', header)];
  if (pixelsPerMm !== undefined) {
    const scale = new Uint8Array(9);
    const perMetre = Math.round(pixelsPerMm * 1000);
    new DataView(scale.buffer).setUint32(0, perMetre);
    new DataView(scale.buffer).setUint32(4, perMetre);
    scale[8] = 1;
    parts.push(chunk('pHYs', scale));
  }
  parts.push(chunk('IDAT', zlibSync(rows, { level: 6 })), chunk('IEND', new Uint8Array(0)));
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}
