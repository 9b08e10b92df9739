import { prewhitened } from './cepstrum.ts';
import {
  type DefectEvidence,
  type DefectSearch,
  defectEvidence,
  type KnockSpectra,
} from './defect-evidence.ts';
import {
  type EnvelopeSpectrum,
  envelopeOrderSpectrum,
  envelopeSpectrum,
  type SquaredEnvelope,
  squaredEnvelopes,
} from './envelope.ts';
import { demodulationBands, impulsiveBand, LOWEST_EDGE_HZ } from './spectral-kurtosis.ts';
import { rateAt, type ShaftMotion } from './speed-motion.ts';
import { assertPositive } from './validation.ts';

/** Envelope spectra reach this many times the highest rate: its weighed harmonics and their sidebands. */
const REACH = 3.5;

/** Shorter recordings have no lines to tell apart. */
const LEAST_PERIODS = 20;

/** A band narrower than this many times the highest rate cannot carry its harmonics. */
const LEAST_WIDTH = 3;

/**
 * Envelope spectra in the demodulation bands, in Hz, for a shaft at constant speed.
 * @param highestRate_Hz highest defect rate that will be looked for
 * @throws RangeError for a recording that is too short, NaN or infinity, or a sample rate too low for the rate
 */
export function knockSpectra(
  samples: ArrayLike<number>,
  sampleRate_Hz: number,
  highestRate_Hz: number,
): KnockSpectra {
  return forBoth(samples, sampleRate_Hz, highestRate_Hz, (envelope) =>
    envelopeSpectrum(envelope, Math.min(REACH * highestRate_Hz, 0.45 * envelope.sampleRate_Hz)),
  );
}

/**
 * The same in orders of a shaft whose speed may vary.
 * @param motion the shaft's motion on the signal's clock
 * @param highestOrder highest defect rate that will be looked for, in turns of the shaft
 * @throws RangeError as `knockSpectra`, and when motion and signal share less than a turn
 */
export function knockOrderSpectra(
  samples: ArrayLike<number>,
  sampleRate_Hz: number,
  motion: ShaftMotion,
  highestOrder: number,
): KnockSpectra {
  assertPositive(highestOrder, 'highestOrder');
  const middle = 0.5 * (motion.t_s[0]! + motion.t_s[motion.t_s.length - 1]!);
  return forBoth(samples, sampleRate_Hz, highestOrder * rateAt(motion, middle), (envelope) => {
    const spectrum = envelopeOrderSpectrum(envelope, motion, REACH * highestOrder);
    if (!spectrum) throw new RangeError('motion and samples share less than a turn of the shaft');
    return spectrum;
  });
}

function forBoth(
  samples: ArrayLike<number>,
  sampleRate_Hz: number,
  highestRate_Hz: number,
  spectrumOf: (envelope: SquaredEnvelope) => EnvelopeSpectrum,
): KnockSpectra {
  assertPositive(sampleRate_Hz, 'sampleRate_Hz');
  assertPositive(highestRate_Hz, 'highestRate_Hz');
  const lowest = Math.max(LOWEST_EDGE_HZ, LEAST_WIDTH * highestRate_Hz);
  if (2 * lowest > 0.9 * (sampleRate_Hz / 2)) {
    throw new RangeError(
      `a rate of ${highestRate_Hz.toFixed(0)} Hz is too high to be looked for at ${sampleRate_Hz} samples a second`,
    );
  }
  const periods = (samples.length / sampleRate_Hz) * highestRate_Hz;
  if (periods < LEAST_PERIODS) {
    throw new RangeError(
      `samples holds ${samples.length} values, ${periods.toFixed(1)} periods of ${highestRate_Hz.toFixed(0)} Hz; ` +
        `at least ${LEAST_PERIODS} are needed`,
    );
  }
  const impulsive = impulsiveBand(samples, sampleRate_Hz, 2 * lowest, highestRate_Hz);
  const bands = [...demodulationBands(sampleRate_Hz, lowest), ...(impulsive ? [impulsive] : [])];
  const inBands = (signal: ArrayLike<number>) =>
    squaredEnvelopes(signal, sampleRate_Hz, bands).map(spectrumOf);
  return { whitened: inBands(prewhitened(samples)), plain: inBands(samples) };
}

/** Looks for the defects of a bearing whose shaft turns at constant speed; all rates in Hz. See `defectEvidence`. */
export function findBearingDefects(
  samples: ArrayLike<number>,
  sampleRate_Hz: number,
  search: DefectSearch,
): DefectEvidence {
  const highest = Math.max(...Object.values(search.rates));
  return defectEvidence(knockSpectra(samples, sampleRate_Hz, highest), search);
}
