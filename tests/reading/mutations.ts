/** Damages bytes in one to four places, in ways that files are damaged: bits, lost or doubled stretches, foreign bytes. */
export function mutated(bytes: Uint8Array, uniform: () => number): Uint8Array {
  let result: Uint8Array = bytes.slice();
  const below = (n: number) => Math.floor(uniform() * n);
  for (let times = 1 + below(4); times > 0; times--) {
    const at = below(result.length + 1);
    const end = Math.min(result.length, at + 1 + below(uniform() < 0.7 ? 8 : 200));
    switch (below(8)) {
      case 0:
        if (at < result.length) result[at]! ^= 1 << below(8);
        break;
      case 1:
        if (at < result.length) result[at] = interesting[below(interesting.length)]!;
        break;
      case 2:
        result = joined(result.subarray(0, at), result.subarray(end));
        break;
      case 3:
        result = joined(result.subarray(0, end), result.subarray(at));
        break;
      case 4:
        result = result.slice(0, at);
        break;
      case 5: {
        const word = new TextEncoder().encode(words[below(words.length)]!);
        result = joined(result.subarray(0, at), word, result.subarray(end));
        break;
      }
      case 6:
        result = joined(
          result.subarray(0, at),
          Uint8Array.from({ length: below(20) }, () => below(256)),
          result.subarray(at),
        );
        break;
      default:
        result = joined(result.subarray(0, at), new Uint8Array(4).fill(below(2) * 255), result.subarray(at + 4));
    }
  }
  return result;
}

const interesting = [0, 9, 10, 13, 32, 34, 35, 44, 45, 46, 47, 48, 57, 60, 92, 101, 127, 128, 255];
const words =
  ' nan|1e999|-0|,|1e-400|solid|endsolid|facet normal|v|f 1 2 3|f -1 -2 -3|f 1/|/|\\\n|\r|0|4294967295|-1|99999999999|element|property list uchar int|end_header|uchar|double|</mesh>|<item objectid="1"/>|<!DOCTYPE a>|&amp;|&x;|v1="9"|transform="0"|<|>'.split(
    '|',
  );

function joined(...parts: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}
