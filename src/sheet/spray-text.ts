import { plainText } from '../base/plain-text.js';
import type { BarrierEntry } from '../fill/barrier.js';
import type { VapourEntry } from '../fill/vapour.js';
import { fixed } from './figures.js';
import { labelled } from './table.js';

/** A word and what stands beside it, the same on a text screen, on paper and on the page. */
export type Fact = readonly [label: string, text: string];

const cm2 = (areaMm2: number): string => fixed(areaMm2 / 100, 0);

/** The barrier film of a plan. */
export function barrierFacts(barrier: BarrierEntry): Fact[] {
  const { area } = barrier;
  const from = barrier.transferFrom === 'default' ? 'assumed; 15 to 60 % is usual, enter yours' : 'as given';
  const parts = `walls ${cm2(area.wallsMm2)}, margin ${cm2(area.marginMm2)}, back coat ${cm2(area.backCoatMm2)}`;
  return [
    ['area', `${parts}, overspray ${cm2(area.oversprayMm2)} cm²`],
    ['film', `${barrier.filmUm} µm dry of ${plainText(barrier.lacquer)}, ${barrier.passes} passes`],
    ['transfer', `${barrier.transferPct} % (${from})`],
    [
      'mix',
      `${fixed(barrier.lacquerMl, 1)} ml lacquer and ${fixed(barrier.thinnerMl, 1)} ml ${barrier.solvent} (1 to ${barrier.thinnerParts} by volume)`,
    ],
    ['spray', `${fixed(barrier.sprayedMl, 1)} ml, ${barrier.airbrushCups} airbrush cups to fill`],
    [
      'evaporates',
      `${fixed(barrier.solventG, 1)} g of ${barrier.solvent}: highly flammable (flash point ${barrier.flashPointC} °C), irritates the eyes, makes drowsy (${barrier.hazardCodes.join(', ')})`,
    ],
    ['when', 'barrier and silicone on the same day (common practice, no source)'],
  ];
}

/** What the solvent comes to in the room. */
export function vapourFacts(vapour: VapourEntry): Fact[] {
  const ppm = (value: number) => fixed(value, 0);
  const [near, most] = vapour.breathingZonePpm;
  const room = `${vapour.roomM3} m³, ${vapour.airChangesPerH} air changes an hour`;
  return [
    ['sprayed', `${fixed(vapour.solventG, 1)} g ${vapour.solvent} in ${vapour.sprayMinutes} min; ${room}`],
    [
      'room',
      `${ppm(vapour.meanPpm)} ppm mean while spraying, ${ppm(vapour.peakPpm)} at its end, ${ppm(vapour.dayMeanPpm)} over 8 h`,
    ],
    [
      'you breathe',
      `perhaps ${ppm(near)} to ${ppm(most)} ppm (${fixed(near / vapour.meanPpm, 0)} to ${fixed(most / vapour.meanPpm, 0)} times the room, assumed)`,
    ],
    [
      'limits',
      `${vapour.limits.map(({ name, ppm: limit }) => `${name} ${limit} ppm`).join(', ')} over a working day; countries differ`,
    ],
    [
      'air',
      `${fixed(vapour.airNeededM3PerH, 0)} m³/h would keep the room under ${vapour.lowestLimitPpm} ppm while spraying`,
    ],
    [
      'explosive',
      `from ${vapour.lowerExplosivePct} % on; all at once in the room ${fixed(vapour.ofLowerExplosivePct, 1)} % of that`,
    ],
    ['not seen', 'the plume, the open cup, the floor, where vapour sinks'],
  ];
}

/** Facts as lines of a text screen. */
export function factLines(facts: readonly Fact[], { width }: { width: number }): string[] {
  return facts.flatMap(([label, text]) => labelled(label, text, width, 12));
}
