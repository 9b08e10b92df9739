import { bandMeanSquare, type PowerSpectralDensity } from './spectrum.ts';
import { assertPositive } from './validation.ts';

/** Octave ratio of the base-ten system, 10^(3/10) (IEC 61260-1:2014, 5.2). */
export const OCTAVE_RATIO = 10 ** 0.3;

/** A one-third-octave band. */
export interface ThirdOctaveBand {
  /** Number of the band counted from 1 kHz. */
  index: number;
  /** The frequency it is called by, such as 31.5 or 1000 Hz (IEC 61260-1:2014, annex E). */
  nominal_Hz: number;
  /** Exact mid-band frequency 1000 · G^(index/3). */
  centre_Hz: number;
  /** Exact lower edge, centre · G^(-1/6). */
  low_Hz: number;
  /** Exact upper edge, centre · G^(1/6). */
  high_Hz: number;
}

/** Nominal frequencies within one decade, from 1 to below 10. */
const NOMINAL = [1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8];

/** The band `index` bands above that at 1 kHz (IEC 61260-1:2014, 5.3 to 5.5). */
export function thirdOctaveBand(index: number): ThirdOctaveBand {
  if (!Number.isInteger(index)) throw new RangeError(`index is ${index}; it must be a whole number`);
  const centre_Hz = 1000 * OCTAVE_RATIO ** (index / 3);
  const decade = Math.floor(index / 10);
  return {
    index,
    nominal_Hz: Number((NOMINAL[index - decade * 10]! * 10 ** (decade + 3)).toPrecision(3)),
    centre_Hz,
    low_Hz: centre_Hz * OCTAVE_RATIO ** (-1 / 6),
    high_Hz: centre_Hz * OCTAVE_RATIO ** (1 / 6),
  };
}

/** Every band that lies wholly between two frequencies, in ascending order. */
export function thirdOctaveBands(low_Hz: number, high_Hz: number): ThirdOctaveBand[] {
  assertPositive(low_Hz, 'low_Hz');
  assertPositive(high_Hz, 'high_Hz');
  const bands: ThirdOctaveBand[] = [];
  const first = Math.floor((3 * Math.log(low_Hz / 1000)) / Math.log(OCTAVE_RATIO)) - 1;
  for (let index = first; ; index++) {
    const band = thirdOctaveBand(index);
    if (band.high_Hz > high_Hz) return bands;
    if (band.low_Hz >= low_Hz) bands.push(band);
  }
}

/**
 * Mean square in each band, in the signal's unit squared, summed from a power spectral density. That is the power
 * between the exact edges; a filter set of IEC 61260-1 lets some of the neighbours' through. Bands narrower than
 * the window's noise bandwidth hold leakage: choose segments of at least sampleRate · 6.5 / lowest centre.
 */
export function thirdOctaveMeanSquares(
  psd: PowerSpectralDensity,
  bands: readonly ThirdOctaveBand[],
): Float64Array<ArrayBuffer> {
  return Float64Array.from(bands, (band) => bandMeanSquare(psd, band.low_Hz, band.high_Hz));
}
