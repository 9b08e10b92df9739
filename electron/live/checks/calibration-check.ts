import type { CheckResult } from '../../../shared/contract/visit-work.ts';
import { standardDeviation } from '../../../shared/dsp/levels.ts';
import { StreamingDecimator } from '../../../shared/dsp/resample.ts';
import { fitSine, fitSineAt } from '../../../shared/dsp/sine-fit.ts';
import { lineSpectrum } from '../../../shared/dsp/spectrum.ts';
import { type Message, message } from '../../../shared/messages/message.ts';
import type { Check, CheckSetting } from './check.ts';

type CalibrationResult = Extract<CheckResult, { check: 'calibration' }>;
type Refusal = NonNullable<CalibrationResult['reason']>;

/** Angular frequency 1000 rad/s: there 10 m/s² is 10 mm/s and 10 µm. */
export const REFERENCE_HZ = 1000 / (2 * Math.PI);
/** A hand-held shaker keeps its frequency within a per cent; another tone is another device. */
const FREQUENCY_TOLERANCE = 0.02;
/** Hand and clamp come to rest first. */
const SETTLE_S = 1;
const MEASURE_S = 4;
const PIECES = 8;
/** A tone that wanders by more than this over the pieces is not held firmly (0.1 dB is 1.2 %). */
const STEADY = 0.02;
/** What is left beside the tone: a shaker's own distortion stays under some per cent. */
const PURE = 0.1;
/** A tone this close to the noise is none. */
const LEAST_SHARE_OF_POWER = 0.5;
const LEAST_RMS = 1e-4;
const CLIPPED = 0.98;
const LOWEST_HZ = 20;
/** The tone and its first harmonics need no more, and a lower rate keeps the fit short. */
const RATE_HZ = 3000;

/**
 * A pickup on a reference shaker: the RMS of its tone gives the full scale of the whole chain in m/s². Refused when
 * the tone is not there, is another one, is unsteady, impure or cut off.
 */
export class CalibrationCheck implements Check {
  readonly #channel: number;
  readonly #index: number;
  readonly #sampleRate_Hz: number;
  /** Of what is kept. */
  readonly #rate_Hz: number;
  readonly #reference_m_s2: number;
  readonly #decimator: StreamingDecimator;
  readonly #samples: Float64Array;
  #decimated = new Float64Array(0);
  #frames = 0;
  #taken = 0;
  #peak = 0;

  constructor(setting: CheckSetting, channel: number, reference_m_s2: number) {
    this.#channel = channel;
    this.#index = setting.channels.findIndex((c) => c.channel === channel);
    this.#sampleRate_Hz = setting.sampleRate_Hz;
    const factor = 2 ** Math.max(0, Math.floor(Math.log2(setting.sampleRate_Hz / RATE_HZ)));
    this.#rate_Hz = setting.sampleRate_Hz / factor;
    this.#decimator = new StreamingDecimator(factor);
    this.#reference_m_s2 = reference_m_s2;
    this.#samples = new Float64Array(Math.round(MEASURE_S * this.#rate_Hz));
  }

  state() {
    const done = this.#frames / this.#sampleRate_Hz / (SETTLE_S + MEASURE_S);
    return {
      progress: Math.min(1, done),
      text: message('check.calibration.ask', { channel: this.#channel }),
    };
  }

  feed(samples: readonly Float32Array[], frames: number): CalibrationResult | null {
    const own = samples[this.#index]!.subarray(0, frames);
    if (!own.every(Number.isFinite)) {
      return this.#refused(
        'noTone',
        null,
        null,
        message('check.calibration.noNumbers', { channel: this.#channel }),
      );
    }
    if (this.#decimated.length < frames) this.#decimated = new Float64Array(frames);
    const ready = this.#decimator.process(own, this.#decimated);
    const settled = this.#frames >= SETTLE_S * this.#sampleRate_Hz;
    this.#frames += frames;
    if (!settled) return null;
    for (const x of own) this.#peak = Math.max(this.#peak, Math.abs(x));
    const n = Math.min(ready, this.#samples.length - this.#taken);
    this.#samples.set(this.#decimated.subarray(0, n), this.#taken);
    this.#taken += n;
    return this.#taken === this.#samples.length ? this.#judge() : null;
  }

  #judge(): CalibrationResult {
    const channel = this.#channel;
    const samples = this.#samples;
    const rms = standardDeviation(samples);
    if (this.#peak >= CLIPPED) {
      return this.#refused('clipped', null, null, message('check.calibration.clipped', { channel }));
    }
    const loudest_Hz = rms < LEAST_RMS ? null : loudestTone(samples, this.#rate_Hz);
    const fit = loudest_Hz === null ? null : fitSine(samples, this.#rate_Hz, loudest_Hz);
    if (!fit || fit.rms ** 2 < LEAST_SHARE_OF_POWER * rms ** 2) {
      return this.#refused('noTone', null, null, message('check.calibration.noTone', { channel }));
    }
    const { frequency_Hz } = fit;
    if (Math.abs(frequency_Hz / REFERENCE_HZ - 1) > FREQUENCY_TOLERANCE) {
      return this.#refused(
        'wrongFrequency',
        frequency_Hz,
        fit.rms,
        message('check.calibration.wrongFrequency', {
          channel,
          frequency_Hz,
          reference_Hz: REFERENCE_HZ,
        }),
      );
    }
    const pieces = Array.from({ length: PIECES }, (_, k) => {
      const length = Math.floor(samples.length / PIECES);
      return fitSineAt(samples.slice(k * length, (k + 1) * length), this.#rate_Hz, frequency_Hz)?.rms ?? 0;
    });
    if (Math.max(...pieces) > (1 + STEADY) * Math.min(...pieces)) {
      return this.#refused(
        'unsteady',
        frequency_Hz,
        fit.rms,
        message('check.calibration.unsteady', { channel }),
      );
    }
    if (fit.residualRms > PURE * fit.rms) {
      return this.#refused('impure', frequency_Hz, fit.rms, message('check.calibration.impure', { channel }));
    }
    const fullScale_m_s2 = this.#reference_m_s2 / fit.rms;
    return {
      check: 'calibration',
      channel: this.#channel,
      verdict: 'calibrated',
      reason: null,
      frequency_Hz,
      rms: fit.rms,
      reference_m_s2: this.#reference_m_s2,
      fullScale_m_s2,
      text: message('check.calibration.calibrated', { channel, fullScale_m_s2 }),
    };
  }

  #refused(
    reason: Refusal,
    frequency_Hz: number | null,
    rms: number | null,
    text: Message,
  ): CalibrationResult {
    return {
      check: 'calibration',
      channel: this.#channel,
      verdict: 'refused',
      reason,
      frequency_Hz,
      rms,
      reference_m_s2: this.#reference_m_s2,
      fullScale_m_s2: null,
      text,
    };
  }
}

/** Frequency of the strongest line above the hand's own trembling; null in silence. */
function loudestTone(samples: Float64Array, rate_Hz: number): number | null {
  const { rms, step_Hz } = lineSpectrum(samples, rate_Hz);
  let best = -1;
  for (let k = Math.ceil(LOWEST_HZ / step_Hz); k < rms.length - 1; k++) {
    if (best < 0 || rms[k]! > rms[best]!) best = k;
  }
  return best > 0 && rms[best]! > 0 ? best * step_Hz : null;
}
