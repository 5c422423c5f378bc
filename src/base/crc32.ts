/** CRC-32 as gzip (RFC 1952, 8) and zip use it. */
const table = Uint32Array.from({ length: 256 }, (_, byte) => {
  let rest = byte;
  for (let bit = 0; bit < 8; bit++) rest = rest & 1 ? 0xedb88320 ^ (rest >>> 1) : rest >>> 1;
  return rest;
});

/** @param before the value for the bytes before these; 0 at the beginning */
export function crc32(bytes: Uint8Array, before = 0): number {
  let value = ~before;
  for (let i = 0; i < bytes.length; i++) value = table[(value ^ bytes[i]!) & 255]! ^ (value >>> 8);
  return ~value >>> 0;
}
