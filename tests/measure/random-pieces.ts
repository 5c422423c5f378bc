import { type MadePlate, plateMould } from '../../fixtures/make/plate.js';
import { mulberry32 } from '../../fixtures/make/random.js';
import { curveLoop, type Relief } from '../../fixtures/make/relief.js';

export interface RandomPiece {
  readonly seed: number;
  readonly x: number;
  readonly y: number;
  /** Thickness of its one inner thin spot, 1 mm across; null where it has none. */
  readonly spotMm: number | null;
}

/** Five pieces on a plate, made from formulas and seeds. */
export function randomPieces(first: number, meshMm: number, landMeshMm: number, thinnestMm = 0.1) {
  const pieces = Array.from({ length: 5 }, (_, k) => {
    const { relief, spotMm } = randomPiece(mulberry32(first + k + 1), thinnestMm);
    return { relief, seed: first + k, x: 28 + 52 * (k % 3), y: 26 + 46 * Math.floor(k / 3), spotMm };
  });
  const made: MadePlate = plateMould({
    ...{ lengthMm: 160, widthMm: 98, blockMm: 12, meshMm, landMeshMm },
    cavities: pieces.map(({ relief, seed, x, y }) => ({ name: `seed ${seed}`, shape: relief, x, y })),
  });
  return { mesh: made.mesh, pieces: pieces as readonly RandomPiece[] };
}

/**
 * A piece 3.5 to 6 mm deep with a wavy outline, a good feather of 5 to 12 degrees, and three blunt lumps of mould that
 * leave 0.6 mm and more over them. About every other one has a peak in the middle, flat over 1 mm, `thinnestMm` to
 * 0.25 mm under the scrape surface.
 */
function randomPiece(random: () => number, thinnestMm: number): { relief: Relief; spotMm: number | null } {
  const between = (low: number, high: number) => low + random() * (high - low);
  const depth = between(3.5, 6);
  const [a, b] = [between(15, 22), between(13, 19)];
  const slope = Math.tan((between(5, 12) * Math.PI) / 180);
  const feather = between(3, 5);
  const ramp = between(1, 2) * depth;
  const wave = between(0.02, 0.06);
  const lobes = 2 + Math.floor(4 * random());
  const outline = curveLoop((t) => {
    const turn = 2 * Math.PI * t;
    const r = 1 + wave * Math.cos(lobes * turn);
    return [a * r * Math.cos(turn), b * r * Math.sin(turn)];
  }, 0.7);
  const lumps = Array.from({ length: 3 }, (_, k) => {
    const turn = (k / 3) * 2 * Math.PI + between(0, 0.4);
    const away = between(4.5, 5.5);
    const high = between(0.5, 0.8) * (depth - 0.6);
    return { x: away * Math.cos(turn), y: away * Math.sin(turn), high, wide: between(1.2, 2) };
  });
  const under = between(thinnestMm, 0.25);
  const spotMm = random() < 0.5 ? under : null;
  const relief: Relief = {
    outline,
    ...(spotMm !== null && { fine: [{ spacingMm: 0.15, where: (x, y) => Math.hypot(x, y) < 1.6 }] }),
    depthAt(x, y, d) {
      const whole = slope * Math.min(d, feather) + (depth - slope * feather) * smooth((d - feather) / ramp);
      const high = lumps.map((lump) => lump.high * smooth(1.6 - Math.hypot(x - lump.x, y - lump.y) / lump.wide));
      const lumpy = Math.max(0.6, whole - Math.max(...high) * smooth((d - feather - ramp) / 2));
      const body = Math.min(whole, lumpy);
      return spotMm === null ? body : Math.min(body, spotMm + 5 * Math.max(0, Math.hypot(x, y) - 0.5));
    },
  };
  return { relief, spotMm };
}

function smooth(share: number): number {
  const t = Math.min(1, Math.max(0, share));
  return t * t * (3 - 2 * t);
}
