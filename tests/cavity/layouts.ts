import { mulberry32, permutation } from '../../fixtures/make/random.js';
import { mirroredShape, turnedShape } from '../../src/cavity/fill-shape.js';
import type { NamelessCavity } from '../../src/cavity/name-cavities.js';
import type { NameEntry } from '../../src/reading/name-list.js';

/** A plate as a survey sees it, made of numbers alone. */
export interface Layout {
  readonly lengthMm: number;
  readonly widthMm: number;
  readonly cavities: readonly NamelessCavity[];
}

export const plateOf = ({ lengthMm, widthMm }: Layout, sha256 = 'f'.repeat(64)) => ({ lengthMm, widthMm, sha256 });

/** A cavity that is not its own mirror image, of its own measures. */
export function randomCavity(uniform: () => number, number: number, x: number, y: number): NamelessCavity {
  const r = 4 + 6 * uniform();
  const odd = () => (uniform() - 0.5) * r;
  return {
    number,
    centreMm: [x, y],
    volumeMm3: 150 * (1 + 30 * uniform()),
    openingAreaMm2: 6 * r * r * (0.7 + 0.6 * uniform()),
    depthMm: 1 + 6 * uniform(),
    shapeMm: [r, odd(), odd(), odd(), odd(), odd(), odd()],
  };
}

/** One cavity somewhere in each cell of a grid of 40 mm. */
export function randomLayout(seed: number, columns: number, rows: number): Layout {
  const uniform = mulberry32(seed);
  const cavities = Array.from({ length: columns * rows }, (_, i) => {
    const x = 40 * (i % columns) + 12 + 16 * uniform();
    const y = 40 * Math.floor(i / columns) + 12 + 16 * uniform();
    return randomCavity(uniform, i + 1, x, y);
  });
  return { lengthMm: 40 * columns, widthMm: 40 * rows, cavities };
}

/** The list of a layout's own survey; names `n1`, `n2` … by number. */
export function listOf(layout: Layout, name = (number: number) => `n${number}`): NameEntry[] {
  return layout.cavities.map(({ number, centreMm, volumeMm3, openingAreaMm2, depthMm, shapeMm }, i) => ({
    line: i + 2,
    name: name(number),
    number,
    centreMm,
    volumeMm3: volumeMm3!,
    openingAreaMm2: openingAreaMm2!,
    depthMm: depthMm!,
    shapeMm: shapeMm!,
  }));
}

export interface Rescan {
  readonly layout: Layout;
  /** Number in the old layout per cavity of the new one. */
  readonly from: readonly number[];
}

/** The same plate as a second survey sees it: turned in quarters, numbered anew, everything a little off. */
export function rescan(layout: Layout, quarters: number, seed: number, jitter = 1): Rescan {
  const uniform = mulberry32(seed);
  const near = (size: number) => jitter * size * (2 * uniform() - 1);
  const { lengthMm: l, widthMm: w } = layout;
  const [move, skew] = [[near(2), near(2)] as const, near(0.01)];
  const angle = (quarters * Math.PI) / 2 + skew;
  const turned = quarters % 2 === 1;
  const [length, width] = turned ? [w, l] : [l, w];
  const order = permutation(layout.cavities.length, uniform);
  const cavities = [...order].map((from, j): NamelessCavity => {
    const cavity = layout.cavities[from]!;
    const [x, y] = [cavity.centreMm[0] - l / 2, cavity.centreMm[1] - w / 2];
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    return {
      number: j + 1,
      centreMm: [c * x - s * y + length / 2 + move[0] + near(0.3), s * x + c * y + width / 2 + move[1] + near(0.3)],
      volumeMm3: cavity.volumeMm3! * (1 + near(0.02)),
      openingAreaMm2: cavity.openingAreaMm2! * (1 + near(0.05)),
      depthMm: cavity.depthMm! + near(0.05),
      shapeMm: turnedShape(cavity.shapeMm!, angle).map((value) => value + near(0.05)),
    };
  });
  return { layout: { lengthMm: length, widthMm: width, cavities }, from: [...order].map((i) => i + 1) };
}

/** The mirror image of a cavity, mirrored in x, at another place. */
export function mirrorTwin(cavity: NamelessCavity, number: number, x: number, y: number): NamelessCavity {
  return { ...cavity, number, centreMm: [x, y], shapeMm: mirroredShape(cavity.shapeMm!) };
}
