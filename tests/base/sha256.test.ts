import { createHash } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { mulberry32 } from '../../fixtures/make/random.js';
import { Sha256 } from '../../src/base/sha256.js';

function digest(bytes: Uint8Array): string {
  const hash = new Sha256();
  hash.update(bytes);
  return hash.digestHex();
}

describe('SHA-256', () => {
  // Example vectors that NIST publishes with FIPS 180-4 ("Secure Hashing": SHA-256 examples, one and two blocks), and
  // the million letters a of FIPS 180-2, appendix B.3.
  test.each([
    ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
    [
      'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq',
      '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1',
    ],
    ['a'.repeat(1_000_000), 'cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0'],
  ])('FIPS 180-4 example %#', (message, expected) => {
    expect(digest(new TextEncoder().encode(message))).toBe(expected);
  });

  test('every length around a block, in pieces, equals node:crypto', () => {
    const uniform = mulberry32(180);
    for (let length = 0; length <= 200; length++) {
      const bytes = Uint8Array.from({ length }, () => 256 * uniform());
      const pieces = new Sha256();
      for (let at = 0; at < length; ) {
        const end = at + Math.ceil(70 * uniform());
        pieces.update(bytes.subarray(at, end));
        at = end;
      }
      const expected = createHash('sha256').update(bytes).digest('hex');
      expect(pieces.digestHex()).toBe(expected);
      expect(digest(bytes)).toBe(expected);
    }
  });
});
