import { rms } from '../dsp/levels.ts';
import { butterworthBandpass, sosFilterZeroPhase } from '../dsp/sos.ts';
import { trackOrder } from '../dsp/vold-kalman.ts';
import type { Convincing } from './findings.ts';

/** The order of a wheel, or the band, that carries the evidence. */
export type EvidenceCut =
  | {
      readonly kind: 'order';
      /** Turns of the order itself at each sample. */
      readonly turns: Float64Array;
      /** Full width of the tracking filter, Hz. */
      readonly bandwidth_Hz: number;
    }
  | { readonly kind: 'band'; readonly low_Hz: number; readonly high_Hz: number };

/** Relative full width in which the analysis looks for a line, with a sharp speed and with readings as they come. */
const SHARP = 0.01;
const BLUNT = 0.06;
/** A narrower filter rings longer than a manoeuvre lasts. */
const NARROWEST_HZ = 1.5;
const BAND_ORDER = 4;
/** Of the sample rate; a filter cannot end closer to half of it. */
const HIGHEST = 0.45;

/**
 * What to cut out of a stretch so that the evidence is heard alone. Of an envelope it is the carrier's band: the
 * knocks themselves.
 * @param wheelTurns turns of a wheel at each sample; null when not known
 * @param sharp the turns are good enough for one line's width
 * @returns null for an order without known turns, or one that lies beyond what the recording holds
 */
export function evidenceCut(
  { kind, order, band_Hz }: Pick<Convincing, 'kind' | 'order' | 'band_Hz'>,
  wheelTurns: Float64Array | null,
  sharp: boolean,
  sampleRate_Hz: number,
): EvidenceCut | null {
  if (kind !== 'orders' && band_Hz) {
    const [low_Hz, high_Hz] = band_Hz;
    return { kind: 'band', low_Hz: low_Hz!, high_Hz: Math.min(high_Hz!, HIGHEST * sampleRate_Hz) };
  }
  if (order === null || !wheelTurns || wheelTurns.length < 2) return null;
  const turns = wheelTurns.map((t) => t * order);
  const frequency_Hz = meanFrequency(turns, sampleRate_Hz);
  if (!(frequency_Hz > 0 && frequency_Hz < HIGHEST * sampleRate_Hz)) return null;
  const bandwidth_Hz = Math.max(NARROWEST_HZ, (sharp ? SHARP : BLUNT) * frequency_Hz);
  return { kind: 'order', turns, bandwidth_Hz };
}

/** Mean frequency of an order over the samples, Hz. */
export const meanFrequency = (turns: Float64Array, sampleRate_Hz: number): number =>
  ((turns.at(-1)! - turns[0]!) * sampleRate_Hz) / (turns.length - 1);

/**
 * The evidence alone, without phase shift, in the samples' unit.
 * @throws RangeError for NaN or infinity
 */
export function evidenceWaveform(
  samples: Float32Array,
  sampleRate_Hz: number,
  cut: EvidenceCut,
): Float64Array {
  if (cut.kind === 'order') return trackOrder(samples, cut.turns, sampleRate_Hz, cut.bandwidth_Hz).waveform;
  return sosFilterZeroPhase(butterworthBandpass(BAND_ORDER, cut.low_Hz, cut.high_Hz, sampleRate_Hz), samples);
}

/** Well heard at the usual gain, with room for knocks. */
const HEARD_RMS = 0.01;
const HIGHEST_PEAK = 0.08;

/**
 * Brings two waveforms of one unit to a level at which the stronger is well heard, both by the same factor: what is
 * left to compare is how strong they are.
 * @returns ratio of full scale, and the first's RMS over the second's in dB
 */
export function atOneGain(
  first: Float64Array,
  second: Float64Array,
): { readonly sounds: readonly [Float32Array, Float32Array]; readonly difference_db: number } {
  const levels = [rms(first), rms(second)] as const;
  const strongest = Math.max(...levels);
  let highest = 0;
  for (const waveform of [first, second]) {
    for (const x of waveform) if (Math.abs(x) > highest) highest = Math.abs(x);
  }
  const factor = strongest > 0 ? Math.min(HEARD_RMS / strongest, HIGHEST_PEAK / highest) : 0;
  const heard = (waveform: Float64Array): Float32Array => Float32Array.from(waveform, (x) => x * factor);
  // Silence on one side would be an infinite difference; a float recording holds nothing below this.
  const floor = strongest * 1e-6 || 1;
  return {
    sounds: [heard(first), heard(second)],
    difference_db: 20 * Math.log10(Math.max(levels[0], floor) / Math.max(levels[1], floor)),
  };
}
