import { median } from '../dsp/levels.ts';
import type { PowerOverOrder } from './lines.ts';

/** Several who listen ask for the same spectrum's. */
const curves = new WeakMap<PowerOverOrder, Readonly<Float64Array>>();

/** Median power around each bin, for telling lines from noise over a whole spectrum. */
export function noiseCurve(spectrum: PowerOverOrder): Readonly<Float64Array> {
  const known = curves.get(spectrum);
  if (known) return known;
  const curve = noiseAround(spectrum);
  curves.set(spectrum, curve);
  return curve;
}

function noiseAround(spectrum: PowerOverOrder): Float64Array {
  const { power, step } = spectrum;
  const curve = new Float64Array(power.length);
  const knots: { at: number; value: number }[] = [];
  // Half a third octave, but at least three quarters of an order, so that a line never fills its own window.
  for (let order = 2 * step; order < power.length * step; order += Math.max(0.4, 0.06 * order)) {
    const reach = Math.max(0.75, 0.12 * order) / step;
    const at = Math.round(order / step);
    const from = Math.max(2, Math.round(at - reach));
    const to = Math.min(power.length, Math.round(at + reach) + 1);
    if (to - from >= 4) knots.push({ at, value: median(power.subarray(from, to)) });
  }
  if (knots.length === 0) return curve.fill(Number.POSITIVE_INFINITY);
  let j = 0;
  for (let k = 0; k < power.length; k++) {
    while (j < knots.length - 2 && k > knots[j + 1]!.at) j++;
    const a = knots[j]!;
    const b = knots[Math.min(j + 1, knots.length - 1)]!;
    const u = b.at === a.at ? 0 : Math.min(1, Math.max(0, (k - a.at) / (b.at - a.at)));
    curve[k] = a.value + u * (b.value - a.value);
  }
  return curve;
}

/**
 * How far each bin stands out, in dB summed over several spectra of equal step: a line that several pickups hear
 * adds up, noise does not.
 */
export function jointProminence(
  spectra: readonly PowerOverOrder[],
): { step: number; db: Float64Array } | null {
  const first = spectra[0];
  if (!first) return null;
  const db = new Float64Array(first.power.length);
  for (const spectrum of spectra) {
    const noise = noiseCurve(spectrum);
    for (let k = 1; k < db.length; k++) {
      const ratio = spectrum.power[k]! / noise[k]!;
      if (ratio > 1) db[k] = db[k]! + 10 * Math.log10(ratio);
    }
  }
  return { step: first.step, db };
}
