import { complexFft } from './fft.ts';
import { assertFinite, assertPositive, assertWholeNumber } from './validation.ts';
import { hann } from './windows.ts';

/** How strongly the parts of a signal on either side of each frequency, a cyclic frequency apart, belong together. */
export type CyclicCoherence = {
  /** Frequency of bin k is k × step. */
  readonly step_Hz: number;
  /** Squared magnitude, 0 to 1. Where it is high, the noise around that frequency is modulated at the rate. */
  readonly value: Float64Array;
  /** Steady noise exceeds this in one bin with a probability of one in a hundred. */
  readonly threshold: number;
};

/** Three quarters: less overlap biases the cyclic estimate (Antoni 2007). */
const OVERLAPS = 4;
/** Hann blocks that overlap by three quarters count for about this share of as many independent ones. */
const INDEPENDENT_SHARE = 0.48;
const THRESHOLD_CHANCE = 0.01;

/**
 * Squared cyclic coherence at one cyclic frequency α: the coherence between the spectrum half of α above and half of
 * α below each frequency, by averaged blocks. It shows which band carries the knocks of a given rate even when a
 * louder machine fills the others; scanning it over all rates would be slow, and the envelope spectrum does that.
 * @param samples time signal, any unit
 * @param alpha_Hz rate of the modulation, below half the sample rate
 * @param size samples per block, a power of two; much shorter than the record
 * @returns size / 2 + 1 values from 0 Hz to half the sample rate
 * @throws RangeError when the record holds fewer than 8 blocks, for NaN or infinity
 * @see Antoni, Cyclic spectral analysis in practice, Mech. Syst. Signal Process. 21 (2007) (from memory)
 */
export function cyclicCoherence(
  samples: ArrayLike<number>,
  sampleRate_Hz: number,
  alpha_Hz: number,
  size: number,
): CyclicCoherence {
  assertPositive(sampleRate_Hz, 'sampleRate_Hz');
  assertPositive(alpha_Hz, 'alpha_Hz');
  assertWholeNumber(size, 'size', 4);
  assertFinite(samples, 'samples');
  if (alpha_Hz >= sampleRate_Hz / 2)
    throw new RangeError(`alpha_Hz is ${alpha_Hz}; it must be below half the rate`);
  const hop = Math.max(1, Math.floor(size / OVERLAPS));
  const count = Math.floor((samples.length - size) / hop) + 1;
  if (count < 8) throw new RangeError(`samples has ${samples.length} values; 8 blocks of ${size} need more`);

  const fft = complexFft(size);
  const window = hann(size);
  const bins = size / 2 + 1;
  const shifted = new Float64Array(2 * size);
  const above = new Float64Array(2 * size);
  const below = new Float64Array(2 * size);
  const crossRe = new Float64Array(bins);
  const crossIm = new Float64Array(bins);
  const powerAbove = new Float64Array(bins);
  const powerBelow = new Float64Array(bins);
  const turn = (Math.PI * alpha_Hz) / sampleRate_Hz;
  for (let b = 0; b < count; b++) {
    // Half of α down brings the part above to the bin, half of α up the part below; the phase runs through all blocks.
    for (const [sign, out] of [
      [-1, above],
      [1, below],
    ] as const) {
      for (let i = 0; i < size; i++) {
        const n = b * hop + i;
        const v = samples[n]! * window[i]!;
        shifted[2 * i] = v * Math.cos(turn * n);
        shifted[2 * i + 1] = sign * v * Math.sin(turn * n);
      }
      fft.forward(shifted, out);
    }
    for (let k = 0; k < bins; k++) {
      const aRe = above[2 * k]!;
      const aIm = above[2 * k + 1]!;
      const bRe = below[2 * k]!;
      const bIm = below[2 * k + 1]!;
      crossRe[k]! += aRe * bRe + aIm * bIm;
      crossIm[k]! += aIm * bRe - aRe * bIm;
      powerAbove[k]! += aRe * aRe + aIm * aIm;
      powerBelow[k]! += bRe * bRe + bIm * bIm;
    }
  }
  const value = crossRe.map((re, k) => {
    const power = powerAbove[k]! * powerBelow[k]!;
    return power > 0 ? (re * re + crossIm[k]! ** 2) / power : 0;
  });
  const independent = Math.max(2, INDEPENDENT_SHARE * count);
  return {
    step_Hz: sampleRate_Hz / size,
    value,
    threshold: 1 - THRESHOLD_CHANCE ** (1 / (independent - 1)),
  };
}
