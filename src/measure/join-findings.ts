import type { Finding } from '../base/finding.js';
import type { JoinedHollow } from '../cavity/joined-pits.js';
import type { Cavity } from './collect-cavities.js';

/** Cavities that are two pits joined by a channel, or were parted there. */
export function joinFindings(
  hollows: readonly JoinedHollow[],
  cavities: readonly Cavity[],
  isSplit: boolean,
): Finding[] {
  return hollows.flatMap(({ uncut, joins, parts }) =>
    joins.flatMap(({ pits, atMm, depthMm }): Finding[] => {
      const at = ([x, y]: readonly [number, number]) => `${x.toFixed(0)}, ${y.toFixed(0)}`;
      const where = { atMm: [atMm[0], atMm[1], -depthMm] as const };
      const channel = `a channel ${depthMm.toFixed(1)} mm deep at ${at(atMm)} mm`;
      const own = cavities.filter(({ surface }) => (isSplit ? parts.includes(surface) : surface === uncut));
      const numbers = own.map(({ number }) => number);
      if (numbers.length === 0) return [];
      if (isSplit) {
        return [
          {
            code: 'pits-parted',
            severity: 'note',
            message: `Cavities ${numbers.join(' and ')} were parted as asked, at the narrowest place of ${channel}. Silicone runs from one to the other there: dam the channel, or cut the pieces apart.`,
            ...where,
          },
        ];
      }
      return [
        {
          code: 'pits-joined',
          severity: 'caution',
          message: `Cavity ${numbers[0]} is two pits, at ${at(pits[0])} mm and at ${at(pits[1])} mm, joined by ${channel}: they are counted as one. If they are two pieces, survey again with --split, and dam the channel before you fill.`,
          cavity: numbers[0]!,
          ...where,
        },
      ];
    }),
  );
}
