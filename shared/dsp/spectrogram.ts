import { type AveragingOptions, densityScale, SegmentTransform } from './spectrum.ts';
import { assertNotEmpty, assertPositive } from './validation.ts';

/** Power spectral density over time: one row for each segment. */
export interface Spectrogram {
  /** Middle of each segment, from the first sample. */
  times_s: Float64Array<ArrayBuffer>;
  /** Distance of two bins; bin k lies at k · step_Hz. */
  step_Hz: number;
  bins: number;
  /** Row by row, `bins` values each, in the signal's unit squared per hertz. */
  density: Float32Array<ArrayBuffer>;
}

/**
 * Short-time power spectral density, as `scipy.signal.spectrogram`: one-sided, window-corrected, in single
 * precision because it is for looking at.
 *
 * @param signal samples of any unit; only whole segments are used, one shorter than a segment makes one row
 * @throws RangeError when empty, NaN or infinite, or for options out of range
 */
export function spectrogram(
  signal: Float32Array | Float64Array,
  sampleRate_Hz: number,
  options: AveragingOptions,
): Spectrogram {
  assertNotEmpty(signal, 'signal');
  assertPositive(sampleRate_Hz, 'sampleRate_Hz');
  const segments = new SegmentTransform({
    ...options,
    segmentLength: Math.min(options.segmentLength, signal.length),
  });
  const { segmentLength, hop, bins, size, window } = segments;
  const rows = Math.floor((signal.length - segmentLength) / hop) + 1;
  const density = new Float32Array(rows * bins);
  const scale = densityScale(window, sampleRate_Hz);
  let row = 0;
  segments.push(signal, (spectrum) => {
    const at = row++ * bins;
    for (let k = 0; k < bins; k++) {
      const power = spectrum[2 * k]! ** 2 + spectrum[2 * k + 1]! ** 2;
      density[at + k] = power * scale * (k === 0 || k === bins - 1 ? 1 : 2);
    }
  });
  return {
    times_s: Float64Array.from({ length: rows }, (_, r) => (r * hop + segmentLength / 2) / sampleRate_Hz),
    step_Hz: sampleRate_Hz / size,
    bins,
    density,
  };
}
