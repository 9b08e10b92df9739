import type { Transfer } from './network.ts';
import type { Random } from './random.ts';

/**
 * How a clamped pickup answers: each placement has a gain error of a few dB (angle, paint, clamp), points one way or
 * the other, and about a third of the clamps resonate within the band.
 */
export function mountingTransfer(random: Random, sampleRate_Hz: number, bins: number): Transfer {
  const size_dB = Math.max(-4, Math.min(4, random.normal(0, 1.75)));
  const gain = 10 ** (size_dB / 20) * (random.chance(0.5) ? 1 : -1);
  const resonant = random.chance(0.35);
  const resonance_Hz = random.logRange(1500, 7000);
  const q = random.range(2, 7);
  const transfer = new Float64Array(2 * bins);
  for (let bin = 0; bin < bins; bin++) {
    const f = (bin * sampleRate_Hz) / 2 / (bins - 1) / resonance_Hz;
    if (!resonant) {
      transfer[2 * bin] = gain;
      continue;
    }
    // Mass on a spring, seen from its foot.
    const re = 1 - f * f;
    const im = f / q;
    const size = re * re + im * im;
    transfer[2 * bin] = (gain * (re + im * im)) / size;
    transfer[2 * bin + 1] = (gain * (im * re - im)) / size;
  }
  return transfer;
}
