import { assertPositive } from './validation.ts';

/** Coefficients of Lanczos' approximation with g = 7 (relative error near 1e-15). */
const LANCZOS = [
  0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059,
  12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
];

/** Natural logarithm of the gamma function for x > 0 (Lanczos 1964). */
export function logGamma(x: number): number {
  assertPositive(x, 'x');
  if (x < 0.5) return Math.log(Math.PI / Math.sin(Math.PI * x)) - logGamma(1 - x);
  let sum = LANCZOS[0]!;
  for (let i = 1; i < LANCZOS.length; i++) sum += LANCZOS[i]! / (x - 1 + i);
  const t = x + 6.5;
  return 0.5 * Math.log(2 * Math.PI) + (x - 0.5) * Math.log(t) - t + Math.log(sum);
}

/** Regularised lower incomplete gamma function P(a, x) (Press et al., Numerical Recipes, 3rd ed., section 6.2). */
function lowerGamma(a: number, x: number): number {
  if (x <= 0) return 0;
  const scale = Math.exp(-x + a * Math.log(x) - logGamma(a));
  if (x < a + 1) {
    let term = 1 / a;
    let sum = term;
    for (let n = a + 1; term > sum * 1e-17; n++) {
      term *= x / n;
      sum += term;
    }
    return sum * scale;
  }
  // Lentz's method for the continued fraction of the upper function.
  let b = x + 1 - a;
  let c = 1e300;
  let d = 1 / b;
  let fraction = d;
  for (let i = 1; i < 100_000; i++) {
    const numerator = -i * (i - a);
    b += 2;
    d = 1 / (numerator * d + b);
    c = b + numerator / c;
    const step = c * d;
    fraction *= step;
    if (Math.abs(step - 1) < 1e-16) break;
  }
  return 1 - scale * fraction;
}

/**
 * Probability that a chi-squared variable lies below `value`.
 *
 * @param degreesOfFreedom above 0, need not be whole
 */
export function chiSquaredCdf(value: number, degreesOfFreedom: number): number {
  assertPositive(degreesOfFreedom, 'degreesOfFreedom');
  return lowerGamma(degreesOfFreedom / 2, value / 2);
}

/**
 * Value below which a chi-squared variable lies with `probability`, by bisection of the distribution function.
 *
 * @param probability between 0 and 1, both excluded
 * @param degreesOfFreedom above 0, need not be whole
 */
export function chiSquaredQuantile(probability: number, degreesOfFreedom: number): number {
  if (!(probability > 0 && probability < 1)) {
    throw new RangeError(`probability is ${probability}; it must lie between 0 and 1`);
  }
  let low = 0;
  let high = Math.max(1, degreesOfFreedom);
  while (chiSquaredCdf(high, degreesOfFreedom) < probability) high *= 2;
  for (;;) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) return middle;
    if (chiSquaredCdf(middle, degreesOfFreedom) < probability) low = middle;
    else high = middle;
  }
}
