import { prewhitened } from './cepstrum.ts';
import { type DefectEvidence, type DefectSearch, defectEvidence } from './defect-evidence.ts';
import {
  type EnvelopeSpectrum,
  envelopeOrderSpectrum,
  envelopeSpectrum,
  squaredEnvelopes,
} from './envelope.ts';
import { demodulationBands, LOWEST_EDGE_HZ } from './spectral-kurtosis.ts';
import { rateAt, type ShaftMotion } from './speed-motion.ts';
import { assertPositive } from './validation.ts';

/** Envelope spectra reach this many times the highest rate: its weighed harmonics and their sidebands. */
const REACH = 3.5;

/** Shorter recordings have no lines to tell apart. */
const LEAST_PERIODS = 20;

/** A band narrower than this many times the highest rate cannot carry its harmonics. */
const LEAST_WIDTH = 3;

/**
 * Envelope spectra of the pre-whitened signal in the demodulation bands, in Hz, for a shaft at constant speed.
 * @param highestRate_Hz highest defect rate that will be looked for
 * @throws RangeError for an empty signal, NaN or infinity, or a sample rate too low for the rate
 */
export function knockSpectra(
  samples: ArrayLike<number>,
  sampleRate_Hz: number,
  highestRate_Hz: number,
): EnvelopeSpectrum[] {
  return envelopesFor(samples, sampleRate_Hz, highestRate_Hz).map((envelope) =>
    envelopeSpectrum(envelope, Math.min(REACH * highestRate_Hz, 0.45 * envelope.sampleRate_Hz)),
  );
}

/**
 * The same in orders of a shaft whose speed may vary.
 * @param motion the shaft's motion on the signal's clock
 * @param highestOrder highest defect rate that will be looked for, in turns of the shaft
 * @returns empty when motion and signal share less than a turn
 */
export function knockOrderSpectra(
  samples: ArrayLike<number>,
  sampleRate_Hz: number,
  motion: ShaftMotion,
  highestOrder: number,
): EnvelopeSpectrum[] {
  assertPositive(highestOrder, 'highestOrder');
  const middle = 0.5 * (motion.t_s[0]! + motion.t_s[motion.t_s.length - 1]!);
  const envelopes = envelopesFor(samples, sampleRate_Hz, highestOrder * rateAt(motion, middle));
  return envelopes
    .map((envelope) => envelopeOrderSpectrum(envelope, motion, REACH * highestOrder))
    .filter((spectrum) => spectrum !== null);
}

function envelopesFor(samples: ArrayLike<number>, sampleRate_Hz: number, highestRate_Hz: number) {
  assertPositive(sampleRate_Hz, 'sampleRate_Hz');
  assertPositive(highestRate_Hz, 'highestRate_Hz');
  const lowest = Math.max(LOWEST_EDGE_HZ, LEAST_WIDTH * highestRate_Hz);
  if (2 * lowest > 0.9 * (sampleRate_Hz / 2)) {
    throw new RangeError(
      `a rate of ${highestRate_Hz.toFixed(0)} Hz is too high to be looked for at ${sampleRate_Hz} samples a second`,
    );
  }
  if (samples.length / sampleRate_Hz < LEAST_PERIODS / highestRate_Hz) {
    throw new RangeError(
      `samples holds ${samples.length} values, ${((samples.length / sampleRate_Hz) * highestRate_Hz).toFixed(1)} ` +
        `periods of ${highestRate_Hz.toFixed(0)} Hz; at least ${LEAST_PERIODS} are needed`,
    );
  }
  return squaredEnvelopes(prewhitened(samples), sampleRate_Hz, demodulationBands(sampleRate_Hz, lowest));
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
