/**
 * Density of water, free of air, at 101.325 kPa and 0 to 40 °C, g/ml: the formula of Kell (J. Chem. Eng. Data 20, 1975;
 * its constants from memory, held against tables by a test).
 */
export function waterDensityGPerMl(temperatureC: number): number {
  const factors = [999.83952, 16.945176, -7.9870401e-3, -46.170461e-6, 105.56302e-9, -280.54253e-12];
  const sum = factors.reduceRight((total, factor) => total * temperatureC + factor, 0);
  return sum / (1 + 16.87985e-3 * temperatureC) / 1000;
}
