import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { barrierArea, barrierNeed, transferRangePct, typicalBarrier } from '../../src/fill/barrier.js';
import { genericSilicones } from '../../src/fill/generic-silicones.js';
import { planMix } from '../../src/fill/mix.js';
import { plateFromSurvey } from '../../src/fill/plate-load.js';
import { neatRecipe } from '../../src/fill/recipe.js';
import { solvents } from '../../src/fill/shelf/solvents.js';
import { dilutionAirCfm, molarVolumeL, planVapour } from '../../src/fill/vapour.js';
import { mixText } from '../../src/sheet/mix-text.js';
import { cavity, surveyOf } from './made-survey.js';

const solvent = (name: string) => solvents.find((entry) => entry.name === name)!;

describe('barrier film, by the formulas of the coating industry', () => {
  it('thinned 3.5 to 1, the 4 ml of lacquer become 18 ml; solvent is the thinner and 80 % of the lacquer', () => {
    const need = barrierNeed(10_000, { ...typicalBarrier, filmUm: 20, thinnerParts: 3.5, transferPct: 25 });
    expect(need.sprayedMl).toBeCloseTo(18, 12);
    expect(need.solventG).toBeCloseTo((14 + 0.8 * 4) * 0.791, 12);
    // 20 % / 4.5 = 4.444 % solids: 450 µm wet, nine passes of 50 µm; 18 ml from a cup of 7 ml: three.
    expect(need.passes).toBe(9);
    expect(need.airbrushCups).toBe(3);
  });

  it('the ring round a circle of radius r is that of two circles', () => {
    const radius = 10;
    const round = cavity(1, 'disc', 1000, { rimLengthMm: 2 * Math.PI * radius });
    const plate = plateFromSurvey(surveyOf([round]));
    const area = barrierArea(plate.pieces, plate);
    expect(area.marginMm2).toBeCloseTo(Math.PI * (22 ** 2 - 10 ** 2), 9);
    expect(area.oversprayMm2).toBeCloseTo(Math.PI * (37 ** 2 - 22 ** 2), 9);
  });
});

describe('vapour', () => {
  it('the air that the plan asks for is that of the ACGIH formula, whose 403e6 holds at 70 °F', () => {
    const pintMl = 473.176473;
    const { airNeededM3PerH } = planVapour(solvent('acetone'), pintMl * 0.79, 60, { volumeM3: 30, airChangesPerH: 1 });
    const m3PerHPerCfm = 0.3048 ** 3 * 60;
    const cfmAt70F = (airNeededM3PerH / m3PerHPerCfm) * (molarVolumeL((70 - 32) / 1.8) / 24.45);
    // The three digits of 403e6 are good for 0.2 %.
    expect(Math.abs(cfmAt70F / dilutionAirCfm(0.79, 1, 58.08, 250) - 1)).toBeLessThan(0.002);
  });

  it('the room follows dC/dt = G/V - nC, against small steps in time', () => {
    const arbitrary = [fc.double({ min: 0, max: 12, noNaN: true }), fc.integer({ min: 2, max: 90 })] as const;
    fc.assert(
      fc.property(...arbitrary, (airChangesPerH, minutes) => {
        const { sealedPpm, ...vapour } = planVapour(solvent('butanone'), 25, minutes, { volumeM3: 40, airChangesPerH });
        const step = 1 / 3600;
        let now = 0;
        let sum = 0;
        let day = 0;
        for (let t = 0; t < 8 * 3600; t++) {
          const spraying = t < minutes * 60;
          const next = now + step * ((spraying ? sealedPpm / (minutes / 60) : 0) - airChangesPerH * now);
          day += (now + next) / 2;
          if (spraying) sum += (now + next) / 2;
          now = next;
          if (t === minutes * 60 - 1) expect(vapour.peakPpm / now).toBeCloseTo(1, 2);
        }
        expect(vapour.meanPpm / (sum / (minutes * 60))).toBeCloseTo(1, 2);
        expect(vapour.dayMeanPpm / (day / (8 * 3600))).toBeCloseTo(1, 2);
      }),
      { seed: 8, numRuns: 30 },
    );
  });

  it('figures of the solvents as the NIOSH Pocket Guide, OSHA and ICSC 0087 print them', () => {
    // Lower explosive limits of acetone and ethyl acetate: from memory of the NIOSH guide.
    expect(
      solvents.map((s) => [
        s.name,
        s.molarMassGPerMol,
        s.densityGPerMl,
        s.flashPointC,
        s.lowerExplosivePct,
        s.upperExplosivePct,
        s.oshaPelPpm,
        s.nioshRelPpm,
      ]),
    ).toEqual([
      ['acetone', 58.08, 0.791, -18, 2.5, 12.8, 1000, 250],
      ['isopropanol', 60.1, 0.79, 12, 2.0, 12.7, 400, 400],
      ['ethyl acetate', 88.105, 0.9003, -4, 2.0, 11.5, 400, 400],
      ['butanone', 72.11, 0.8054, -9, 1.9, 11, 200, 200],
    ]);
    // GHS: highly flammable, eye irritation, drowsiness.
    for (const { hazardCodes } of solvents) expect(hazardCodes).toEqual(['H225', 'H319', 'H336']);
  });

  it('says of every solvent its limits, its lower explosive limit and its hazards, and what it does not know', () => {
    const plate = plateFromSurvey(surveyOf([cavity(1, 'brow', 3200)]));
    for (const { name, ...figures } of solvents) {
      const lacquer = { ...typicalBarrier.lacquer, solvent: name };
      const mix = planMix([plate], {
        recipes: [neatRecipe(genericSilicones[0]!)],
        way: 'encapsulated',
        barrier: { ...typicalBarrier, lacquer },
        room: { volumeM3: 30, airChangesPerH: 2 },
      });
      const text = mixText(mix).replace(/\s+/g, ' ');
      expect(text).toContain(`OSHA PEL ${figures.oshaPelPpm} ppm, NIOSH REL ${figures.nioshRelPpm} ppm`);
      expect(text).toContain(`from ${figures.lowerExplosivePct} % on`);
      expect(text).toContain(`flash point ${figures.flashPointC} °C`);
      expect(text).toContain('H225, H319, H336');
      for (const words of [
        'countries differ',
        'the plume, the open cup, the floor, where vapour sinks',
        '5 to 10 times',
      ]) {
        expect(text).toContain(words);
      }
      const { meanPpm, breathingZonePpm } = mix.vapour!;
      expect(breathingZonePpm).toEqual([5 * meanPpm, 10 * meanPpm]);
    }
  });

  it('where nothing is known of the gun, what lands lies between a high-pressure gun at worst and HVLP at best', () => {
    // Solids deposited of those sprayed, by weight: high pressure 15 to 30 %, HVLP 50 to 60 %.
    expect(transferRangePct).toEqual({ least: 15, most: 60 });
    const need = (transferPct?: number) => barrierNeed(10_000, { ...typicalBarrier, transferPct }).lacquerMl;
    expect(need()).toBeCloseTo(need(15), 12);
    expect(need(60)).toBeCloseTo(need(15) / 4, 12);
  });
});
