import { plainText } from '../base/plain-text.js';
import type { BarrierEntry } from '../fill/barrier.js';
import type { VapourEntry } from '../fill/vapour.js';
import { type Display, gramsPerOunce, mlPerUsFluidOunce } from './display-units.js';
import { fixed } from './figures.js';
import { labelled } from './table.js';

/** A word and what stands beside it, the same on a text screen, on paper and on the page. */
export type Fact = readonly [label: string, text: string];

interface SprayUnits {
  readonly area: readonly [perMm2: number, unit: string];
  readonly volume: readonly [perMl: number, unit: string, decimals: number];
  readonly mass: readonly [perG: number, unit: string, decimals: number];
  readonly film: readonly [perUm: number, unit: string];
  readonly room: readonly [perM3: number, unit: string];
  readonly air: readonly [perM3H: number, unit: string];
  temperature(c: number): string;
}

const ft3PerM3 = 1 / 0.3048 ** 3;
const sprayUnits: Readonly<Record<Display, SprayUnits>> = {
  metric: {
    area: [1 / 100, 'cm²'],
    volume: [1, 'ml', 1],
    mass: [1, 'g', 1],
    film: [1, 'µm'],
    room: [1, 'm³'],
    air: [1, 'm³/h'],
    temperature: (c) => `${c} °C`,
  },
  us: {
    area: [1 / 25.4 ** 2, 'in²'],
    volume: [1 / mlPerUsFluidOunce, 'US fl oz', 2],
    mass: [1 / gramsPerOunce, 'oz', 2],
    film: [1 / 25.4, 'mil'],
    room: [ft3PerM3, 'ft³'],
    air: [ft3PerM3 / 60, 'cfm'],
    temperature: (c) => `${fixed(c * 1.8 + 32, 0)} °F`,
  },
};

const massText = (massG: number, { mass: [perG, unit, decimals] }: SprayUnits): string =>
  `${fixed(massG * perG, decimals)} ${unit}`;

/** The barrier film of a plan. */
export function barrierFacts(barrier: BarrierEntry, display: Display = 'metric'): Fact[] {
  const { area } = barrier;
  const units = sprayUnits[display];
  const square = (mm2: number) => fixed(mm2 * units.area[0], 0);
  const ml = (volumeMl: number) => `${fixed(volumeMl * units.volume[0], units.volume[2])} ${units.volume[1]}`;
  const film = `${Number((barrier.filmUm * units.film[0]).toPrecision(3))} ${units.film[1]}`;
  const from = barrier.transferFrom === 'default' ? 'assumed; 15 to 60 % is usual, enter yours' : 'as given';
  const parts = `walls ${square(area.wallsMm2)}, margin ${square(area.marginMm2)}, back coat ${square(area.backCoatMm2)}`;
  return [
    ['area', `${parts}, overspray ${square(area.oversprayMm2)} ${units.area[1]}`],
    ['film', `${film} dry of ${plainText(barrier.lacquer)}, ${barrier.passes} passes`],
    ['transfer', `${barrier.transferPct} % (${from})`],
    [
      'mix',
      `${ml(barrier.lacquerMl)} lacquer and ${ml(barrier.thinnerMl)} ${barrier.solvent} (1 to ${barrier.thinnerParts} by volume)`,
    ],
    ['spray', `${ml(barrier.sprayedMl)}, ${barrier.airbrushCups} airbrush cups to fill`],
    [
      'evaporates',
      `${massText(barrier.solventG, units)} of ${barrier.solvent}: highly flammable (flash point ${units.temperature(barrier.flashPointC)}), irritates the eyes, makes drowsy (${barrier.hazardCodes.join(', ')})`,
    ],
    ['when', 'barrier and silicone on the same day (common practice, no source)'],
  ];
}

/** What the solvent comes to in the room. */
export function vapourFacts(vapour: VapourEntry, display: Display = 'metric'): Fact[] {
  const units = sprayUnits[display];
  const air = `${fixed(vapour.airNeededM3PerH * units.air[0], 0)} ${units.air[1]}`;
  const ppm = (value: number) => fixed(value, 0);
  const [near, most] = vapour.breathingZonePpm;
  const room = `${Number((vapour.roomM3 * units.room[0]).toPrecision(4))} ${units.room[1]}, ${vapour.airChangesPerH} air changes an hour`;
  return [
    ['sprayed', `${massText(vapour.solventG, units)} ${vapour.solvent} in ${vapour.sprayMinutes} min; ${room}`],
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
    ['air', `${air} would keep the room under ${vapour.lowestLimitPpm} ppm while spraying`],
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
