import { factorPentadiagonal, solvePentadiagonal } from './banded.ts';
import { butterworthLowpass, sosFilterZeroPhase } from './sos.ts';
import { assertFinite, assertNotEmpty, assertPositive, assertSameLength } from './validation.ts';

/** Poles of the tracking filter: 1 has gentle skirts and a fast answer, 2 has steep skirts. */
export type VoldKalmanPoles = 1 | 2;

/**
 * Weight r² of the smoothness against the data that gives a full -3 dB bandwidth B: (√2 - 1) / (2 - 2 cos(π B / fs))^p.
 * Follows from the filter's gain 1 / (1 + r² (2 - 2 cos ω)^p) at half the bandwidth on either side of the order.
 */
export function voldKalmanWeight(
  bandwidth_Hz: number,
  sampleRate_Hz: number,
  poles: VoldKalmanPoles,
): number {
  assertPositive(bandwidth_Hz, 'bandwidth_Hz');
  assertPositive(sampleRate_Hz, 'sampleRate_Hz');
  if (bandwidth_Hz >= sampleRate_Hz) throw new RangeError('bandwidth_Hz must be below the sample rate');
  return (Math.SQRT2 - 1) / (2 - 2 * Math.cos((Math.PI * bandwidth_Hz) / sampleRate_Hz)) ** poles;
}

/** One order taken out of a signal. */
export type TrackedOrder = {
  /** The order's waveform at each sample, in the signal's unit: for listening, or to be subtracted. */
  readonly waveform: Float64Array;
  /** Its peak amplitude at each sample. */
  readonly amplitude: Float64Array;
  /** Its phase against the angle given, rad, unwrapped nowhere. */
  readonly phase: Float64Array;
};

/** Samples of the envelope kept in one bandwidth: enough that the tracking filter's shape is the designed one. */
const ENVELOPE_RATE = 40;

/**
 * Takes one order out of a signal with the second-generation Vold-Kalman filter: the slowly varying complex envelope
 * A that minimises Σ |x - Re(A e^{iφ})|² + r² Σ |∇ᵖ A|². No phase shift, no slew-rate limit; O(n).
 *
 * The signal is brought to zero frequency and to a rate of about forty bandwidths first, where the banded system is
 * well conditioned at any bandwidth.
 * @param samples time signal, any unit
 * @param angle_turns turns of the order itself (order × turns of the shaft) at each sample
 * @param bandwidth_Hz full -3 dB bandwidth, below half the sample rate
 * @throws RangeError for unequal lengths, an empty signal, NaN or infinity
 * @see Tůma, Setting the passband width in the Vold-Kalman order tracking filter, ICSV 12 (2005); Feldbauer &
 * Höldrich, Realization of a Vold-Kalman tracking filter, DAFX 2000 (both from memory)
 */
export function trackOrder(
  samples: ArrayLike<number>,
  angle_turns: ArrayLike<number>,
  sampleRate_Hz: number,
  bandwidth_Hz: number,
  poles: VoldKalmanPoles = 2,
): TrackedOrder {
  assertPositive(sampleRate_Hz, 'sampleRate_Hz');
  assertPositive(bandwidth_Hz, 'bandwidth_Hz');
  if (bandwidth_Hz >= sampleRate_Hz / 2) {
    throw new RangeError(`bandwidth_Hz is ${bandwidth_Hz}; it must be below half the sample rate`);
  }
  assertNotEmpty(samples, 'samples');
  assertSameLength(samples, angle_turns, 'samples', 'angle_turns');
  assertFinite(samples, 'samples');
  assertFinite(angle_turns, 'angle_turns');

  const n = samples.length;
  const re = new Float64Array(n);
  const im = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const phase = 2 * Math.PI * angle_turns[i]!;
    re[i] = 2 * samples[i]! * Math.cos(phase);
    im[i] = -2 * samples[i]! * Math.sin(phase);
  }
  const factor = Math.max(1, Math.floor(sampleRate_Hz / (ENVELOPE_RATE * bandwidth_Hz)));
  const rate = sampleRate_Hz / factor;
  const weight = voldKalmanWeight(bandwidth_Hz, rate, poles);
  const slowRe = smooth(thinned(re, factor, sampleRate_Hz), weight, poles);
  const slowIm = smooth(thinned(im, factor, sampleRate_Hz), weight, poles);

  const waveform = new Float64Array(n);
  const amplitude = new Float64Array(n);
  const phase = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const a = between(slowRe, i / factor);
    const b = between(slowIm, i / factor);
    const turn = 2 * Math.PI * angle_turns[i]!;
    waveform[i] = a * Math.cos(turn) - b * Math.sin(turn);
    amplitude[i] = Math.hypot(a, b);
    phase[i] = Math.atan2(b, a);
  }
  return { waveform, amplitude, phase };
}

/** Every `factor`-th sample of the signal without what would fold back. */
function thinned(x: Float64Array, factor: number, sampleRate_Hz: number): Float64Array {
  if (factor === 1) return x;
  const filtered = sosFilterZeroPhase(
    butterworthLowpass(4, (0.35 * sampleRate_Hz) / factor, sampleRate_Hz),
    x,
  );
  const out = new Float64Array(Math.floor((x.length - 1) / factor) + 1);
  for (let i = 0; i < out.length; i++) out[i] = filtered[i * factor]!;
  return out;
}

/** Solves (1 + r² DᵀD) a = x, D the first or second difference. */
function smooth(x: Float64Array, weight: number, poles: VoldKalmanPoles): Float64Array {
  const n = x.length;
  const main = new Float64Array(n).fill(1);
  const first = new Float64Array(Math.max(0, n - 1));
  const second = new Float64Array(Math.max(0, n - 2));
  const difference = poles === 1 ? [1, -1] : [1, -2, 1];
  for (let i = 0; i + poles < n; i++) {
    for (let j = 0; j <= poles; j++) {
      main[i + j] = main[i + j]! + weight * difference[j]! ** 2;
      if (j + 1 <= poles) first[i + j] = first[i + j]! + weight * difference[j]! * difference[j + 1]!;
      if (j + 2 <= poles) second[i + j] = second[i + j]! + weight * difference[j]! * difference[j + 2]!;
    }
  }
  // The identity in it keeps the matrix positive definite, and the weight at the envelope's rate is moderate.
  return solvePentadiagonal(factorPentadiagonal({ main, first, second })!, Float64Array.from(x));
}

/** Cubic (Catmull-Rom) value between samples; flat beyond the ends. */
function between(x: Float64Array, place: number): number {
  const last = x.length - 1;
  const i = Math.min(last, Math.floor(place));
  const u = place - i;
  if (u === 0 || i === last) return x[i]!;
  const b = x[i]!;
  const c = x[i + 1]!;
  const a = i > 0 ? x[i - 1]! : 2 * b - c;
  const d = i + 2 <= last ? x[i + 2]! : 2 * c - b;
  return b + 0.5 * u * (c - a + u * (2 * a - 5 * b + 4 * c - d + u * (3 * (b - c) + d - a)));
}
