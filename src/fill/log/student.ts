/**
 * Quantile of Student's t: with t = sqrt(v) tan(a) the density becomes cos^(v-1)(a), so that the probability is a
 * ratio of two plain integrals, solved for the angle by halving.
 * @param probability above 0.5, below 1
 */
export function studentQuantile(probability: number, degrees: number): number {
  const whole = integral(Math.PI / 2, degrees);
  let low = 0;
  let high = Math.PI / 2;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (0.5 + integral(middle, degrees) / whole / 2 < probability) low = middle;
    else high = middle;
  }
  return Math.sqrt(degrees) * Math.tan((low + high) / 2);
}

/** Integral of cos^(v-1) from 0 to an angle, by Simpson's rule. */
function integral(angle: number, degrees: number): number {
  const steps = 200;
  const width = angle / steps;
  let sum = 0;
  for (let i = 0; i <= steps; i++) {
    const weight = i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2;
    sum += weight * Math.cos(i * width) ** (degrees - 1);
  }
  return (sum * width) / 3;
}
