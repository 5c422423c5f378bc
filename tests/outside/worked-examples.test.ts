/** Formulas of the program against printed tables and worked examples, one row each. */
import { describe, it } from 'vitest';
import { barrierNeed, spreadM2PerL, typicalBarrier, wetFilmUm } from '../../src/fill/barrier.js';
import { timeAtTemperature } from '../../src/fill/pot-life.js';
import { solvents } from '../../src/fill/shelf/solvents.js';
import { inBaseUnit } from '../../src/fill/shelf/units.js';
import { waterDensityGPerMl } from '../../src/fill/shelf/water.js';
import { densityFromParts, massShares, type Silicone, volumeShrinkagePct } from '../../src/fill/silicone.js';
import {
  dilutionAirCfm,
  gramsPerM3,
  mgM3FromPpm,
  molarVolumeL,
  planVapour,
  saturationPpm,
} from '../../src/fill/vapour.js';
import { integralUnderZero } from '../../src/measure/volume.js';
import { flatness } from '../../src/plate/flatness.js';
import { gramsPerOunce } from '../../src/sheet/display-units.js';
import { checksOf } from '../record.js';

const agrees = checksOf(import.meta.url, 'Worked examples and tables: units, mixing, film, vapour, time, form');

type Row = readonly [check: string, source: string, unit: string, expected: number, ours: number, allowed: number];

function hold(title: string, because: string, rows: readonly Row[]): void {
  describe(title, () => {
    it.each(rows)('%s', (check, source, unit, expected, ours, allowed) => {
      agrees({ check, source, unit, expected, ours, allowed, because });
    });
  });
}

const nist = 'NIST SP 811, appendix B.8; exact from the definitions of inch, pound, gallon';
const water = 'tables of the density of water at 101.325 kPa';
hold('units', 'as many digits as are printed; half of the last', [
  ['one lb', nist, 'g', 453.59237, inBaseUnit('mass', 1, 'lb')!, 1e-9],
  ['one oz', nist, 'g', 28.349523125, inBaseUnit('mass', 1, 'oz')!, 1e-9],
  ['one US fl oz', nist, 'ml', 29.5735295625, inBaseUnit('volume', 1, 'US fl oz')!, 1e-9],
  ['one imperial fl oz', nist, 'ml', 28.4130625, inBaseUnit('volume', 1, 'imp fl oz')!, 1e-9],
  ['one inch', nist, 'mm', 25.4, inBaseUnit('length', 1, 'in')!, 1e-9],
  ['one mil', nist, 'mm', 0.0254, inBaseUnit('length', 1, 'mil')!, 1e-12],
  ['one lbf/in (ppi)', nist, 'N/m', 175.126835246, inBaseUnit('tear', 1, 'ppi')! * 1000, 5e-10],
  ['100 ppi', nist, 'kN/m', 17.51268, inBaseUnit('tear', 100, 'ppi')!, 5e-6],
  ['one psi', nist, 'Pa', 6894.757293168, inBaseUnit('stress', 1, 'psi')! * 1e6, 5e-9],
  ['one lb/gal', 'NIST SP 811, appendix B.8', 'kg/m³', 119.8264, inBaseUnit('density', 1, 'lb/gal')! * 1000, 5e-5],
  ['the same cube as inch and as mm', '25.4³', '', 16387.064, inBaseUnit('length', 1, 'in')! ** 3, 1e-9],
  ['77 °F', 'definition of the scale', '°C', 25, inBaseUnit('temperature', 77, 'F')!, 1e-12],
  ['73.4 °F', 'definition of the scale', '°C', 23, inBaseUnit('temperature', 73.4, '°F')!, 1e-12],
  ['water at 4 °C', water, 'kg/m³', 999.972, 1000 * waterDensityGPerMl(4), 0.01],
  ['water at 20 °C', water, 'kg/m³', 998.2071, 1000 * waterDensityGPerMl(20), 0.01],
  ['water at 25 °C', water, 'kg/m³', 997.0479, 1000 * waterDensityGPerMl(25), 0.01],
  ['specific gravity 1', water, 'kg/m³', 999.972, 1000 * inBaseUnit('density', 1, 'SG')!, 1e-3],
]);

const tenToOne = (ratioBy: 'weight' | 'volume'): Silicone => ({
  ...{ name: 'test', ratioBy, ratio: [10, 1], densityAGPerMl: 1.1, densityBGPerMl: 1.02, typical: false },
});
const [shareA, shareB] = massShares(tenToOne('volume'));
const bPer100A = (100 * shareB) / shareA;
const adding = (how: string) => `masses add, volumes add: ${how}`;
hold('mixing', 'half of the last digit', [
  ['10 ml at 1.10 g/ml', 'ounce of NIST SP 811', 'oz', 0.388014, (10 * 1.1) / gramsPerOunce, 5e-7],
  ['10:1 by weight', adding('11 / (10/1.10 + 1/1.02)'), 'g/ml', 1.09221, densityFromParts(tenToOne('weight')), 5e-6],
  ['10:1 by volume', adding('(10 x 1.10 + 1.02) / 11'), 'g/ml', 1.09273, densityFromParts(tenToOne('volume')), 5e-6],
  ['10:1 by volume, B to 100 g of A', adding('100 x 1.02 / (10 x 1.10)'), 'g', 9.273, bPer100A, 5e-4],
  ['100:10 weighed instead: too much B', adding('10 / 9.273 - 1'), '%', 7.8, (10 / bPer100A - 1) * 100, 0.05],
  ['0.1 % linear shrinkage', '1 - (1 - 0.001)³', '% of volume', 0.2997, volumeShrinkagePct(0.1), 5e-5],
]);

const industry = 'formula of the coating industry';
const film = barrierNeed(10_000, { ...typicalBarrier, filmUm: 20, thinnerParts: 0, transferPct: 25 });
hold('barrier film', 'half of the last digit', [
  ['wet film for 125 µm dry at 71 % solids', industry, 'µm', 176, wetFilmUm(125, 71), 0.5],
  ['spread at 71 % solids and 125 µm', industry, 'm²/l', 5.68, spreadM2PerL(71, 125), 5e-3],
  ['100 cm², 20 µm, 20 % solids: landed', industry, 'ml', 1, film.landedMl, 5e-3],
  ['the same at 25 % transfer: sprayed', industry, 'ml', 4, film.sprayedMl, 5e-3],
]);

const solvent = (name: string) => solvents.find((entry) => entry.name === name)!;
const { molarMassGPerMol: acetone } = solvent('acetone');
const { molarMassGPerMol: isopropanol } = solvent('isopropanol');
const sealed = planVapour(solvent('acetone'), 10 * 0.79, 10, { volumeM3: 30, airChangesPerH: 0 });
const guide = 'NIOSH Pocket Guide: mg/m³ = ppm x M / 24.45';
const idealGas = 'ideal gas law';
const airFlow = 'ACGIH Industrial Ventilation: Q = K 403e6 SG ER / (M C)';
hold('vapour', 'half of the last digit; 1187.7 is printed as 1187', [
  ['molar volume at 20 °C', idealGas, 'l', 24.0551, molarVolumeL(20), 5e-5],
  ['molar volume at 25 °C', idealGas, 'l', 24.4654, molarVolumeL(25), 5e-5],
  ['isopropanol, 1 ppm', guide, 'mg/m³', 2.46, mgM3FromPpm(1, isopropanol), 5e-3],
  ['acetone, 500 ppm', guide, 'mg/m³', 1187, Math.floor(mgM3FromPpm(500, acetone)), 0],
  ['10 ml acetone in 30 m³, sealed', 'mass over volume', 'mg/m³', 263.3, sealed.sealedGPerM3 * 1000, 0.05],
  ['the same', idealGas, 'ppm', 110.9, sealed.sealedPpm, 0.05],
  ['saturated acetone, 180 mmHg', 'NIOSH Pocket Guide: 10⁶ P / 760', 'ppm', 236_842, saturationPpm(180), 0.5],
  ['2.5 % acetone in air', idealGas, 'g/m³', 59.4, gramsPerM3(2.5, acetone), 0.05],
  ['a pint of acetone an hour to 250 ppm', airFlow, 'cfm', 365.4, dilutionAirCfm(0.79, 1, acetone, 250), 0.05],
]);

const halving = 'half per 10 °C, a rule stated for epoxy';
hold('pot life of 30 min at 20 °C', 'half of the last digit', [
  ['at 30 °C', halving, 'min', 15, timeAtTemperature(30, 20, 30, 2), 1e-9],
  ['at 25 °C', halving, 'min', 21.2, timeAtTemperature(30, 20, 25, 2), 0.05],
]);

const [cornersX, cornersY] = [Float64Array.of(-80, 80, 80, -80, 0), Float64Array.of(-60, -60, 60, 60, 0)];
const saddle = flatness(cornersX, cornersY, Float64Array.of(0.1, -0.1, 0.1, -0.1, 0));
const tilted = flatness(cornersX, cornersY, Float64Array.of(-0.12, 0.36, 0.12, -0.36, 0));
const tonon = {
  unit: 'mm',
  positions: Float64Array.of(8.3322, -11.86875, 0.93355, 0.75523, 5, 16.37072, 52.61236, 5, -5.3858, 2, 5, 3),
  triangles: Uint32Array.of(0, 2, 1, 0, 1, 3, 0, 3, 2, 1, 2, 3),
} as const;
const apart = 'ISO 1101: two parallel planes with all points between';
hold('form', 'printed to seven digits; the search over tilts ends at 1e-4 of the range', [
  ['flatness of a saddle, corners at ±0.1 mm', apart, 'mm', 0.2, saddle, 2e-5],
  ['flatness of a tilted plane', apart, 'mm', 0, tilted, 1e-6],
  [
    'volume of a tetrahedron by the sum under the scrape surface',
    'Tonon 2004, Explicit exact formulas for the 3-D tetrahedron inertia tensor, worked example',
    'mm³',
    1873.233236,
    Math.abs(integralUnderZero(tonon, Uint32Array.of(0, 1, 2, 3)).volumeMm3),
    1873e-6,
  ],
]);
