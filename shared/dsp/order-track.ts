import { dot, kaiserBeta } from './fir.ts';
import { type ShaftMotion, timesOfTurns, turnsAtSamples } from './speed-motion.ts';
import { assertFinite, assertNotEmpty, assertPositive, assertWholeNumber } from './validation.ts';
import { besselI0 } from './windows.ts';

/** Steps of a kernel's table between two zero crossings. */
const KERNEL_STEPS = 1024;
/** Slope of the anti-alias filter on either side of the cut-off, as a share of it. */
const SLOPE = 0.2;

/** Half of a Kaiser-windowed sinc from its centre outwards. */
type Kernel = { readonly halfWidth: number; readonly table: Float64Array };

/**
 * A kernel whose stopband begins SLOPE above the cut-off. Length and shape by Kaiser's formulas (Oppenheim & Schafer,
 * equations 7.75 and 7.76).
 */
function makeKernel(stopband_dB: number): Kernel {
  const beta = kaiserBeta(stopband_dB);
  const halfWidth = Math.ceil((stopband_dB - 8) / (2.285 * 2 * Math.PI * SLOPE) / 2);
  const table = new Float64Array(halfWidth * KERNEL_STEPS + 2);
  for (let i = 0; i < table.length - 1; i++) {
    const x = i / KERNEL_STEPS;
    const shape = Math.sqrt(Math.max(0, 1 - (x / halfWidth) ** 2));
    const sinc = i === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
    table[i] = (sinc * besselI0(beta * shape)) / besselI0(beta);
  }
  return { halfWidth, table };
}

/** `fine` for levels and listening, `coarse` where only the place of lines matters. */
export type ResamplingQuality = 'fine' | 'coarse';

const STOPBAND_DB = { fine: 100, coarse: 50 } as const;
const kernels = new Map<ResamplingQuality, Kernel>();

function kernelOf(quality: ResamplingQuality): Kernel {
  let kernel = kernels.get(quality);
  if (!kernel) kernels.set(quality, (kernel = makeKernel(STOPBAND_DB[quality])));
  return kernel;
}

/** Share of the band below half the angle rate that is kept flat; the rest is the anti-alias filter's slope. */
export const USABLE_ORDERS = 1 - SLOPE;

/** A signal sampled at equal steps of a shaft's angle. */
export type AngleSignal = {
  /** In the unit of the time signal. */
  readonly samples: Float64Array;
  /** Samples per turn. */
  readonly samplesPerTurn: number;
  /** Turns of the motion at the first sample. */
  readonly firstTurn: number;
  /** Time of each sample in s, on the time signal's clock. */
  readonly t_s: Float64Array;
};

/**
 * Samples a signal anew at equal steps of a shaft's angle (computed order tracking).
 *
 * Each value is the signal convolved with a Kaiser-windowed sinc of about 100 dB stopband whose cut-off follows the
 * momentary angle rate, so that nothing folds back when the shaft turns slowly. Orders up to
 * `USABLE_ORDERS` × samplesPerTurn / 2 keep their level.
 * @param samples time signal, any unit; sample n lies at n / sampleRate_Hz
 * @param motion turns over time on the same clock; the part that both cover is used
 * @param samplesPerTurn whole number; at least 2.5 times the highest order wanted
 * @returns null when the motion and the signal share less than one turn
 * @throws RangeError for an empty signal, NaN or infinity
 * @see Fyfe & Munck, Analysis of computed order tracking, Mech. Syst. Signal Process. 11 (1997)
 */
export function resampleToAngle(
  samples: ArrayLike<number>,
  sampleRate_Hz: number,
  motion: ShaftMotion,
  samplesPerTurn: number,
): AngleSignal | null {
  assertPositive(sampleRate_Hz, 'sampleRate_Hz');
  assertWholeNumber(samplesPerTurn, 'samplesPerTurn', 2);
  assertNotEmpty(samples, 'samples');
  assertFinite(samples, 'samples');
  const grid = angleGrid(motion, (samples.length - 1) / sampleRate_Hz, samplesPerTurn);
  return grid && { ...grid, samples: sampleOnGrid([samples], sampleRate_Hz, grid, 'fine')[0]! };
}

/** Equal steps of angle in time: made once for all channels of a recording. */
export type AngleGrid = Omit<AngleSignal, 'samples'>;

/**
 * The times of equal steps of angle within a recording from 0 to `end_s`.
 * @returns null when the motion and the recording share less than one turn
 */
export function angleGrid(motion: ShaftMotion, end_s: number, samplesPerTurn: number): AngleGrid | null {
  const part = commonTurns(motion, end_s);
  if (!part || part.to - part.from < 1) return null;
  const firstTurn = Math.ceil(part.from * samplesPerTurn) / samplesPerTurn;
  const count = Math.floor((part.to - firstTurn) * samplesPerTurn + 1e-9) + 1;
  return { samplesPerTurn, firstTurn, t_s: timesOfTurns(motion, firstTurn, 1 / samplesPerTurn, count) };
}

/** Turns at the start and end of what the motion and a recording from 0 to `end_s` share. */
function commonTurns(motion: ShaftMotion, end_s: number): { from: number; to: number } | null {
  const { t_s, turns } = motion;
  const last = t_s.length - 1;
  if (t_s[last]! <= 0 || t_s[0]! >= end_s) return null;
  return {
    from: t_s[0]! < 0 ? turnsAtSamples(motion, 0, 1, 1)[0]! : turns[0]!,
    to: t_s[last]! > end_s ? turnsAtSamples(motion, end_s, 1, 1)[0]! : turns[last]!,
  };
}

/**
 * Values of signals of equal rate on a grid, each low-passed at half the local rate of its times: the weights of a time
 * are found once for all of them. Signals are read as far as all of them reach.
 */
export function sampleOnGrid(
  signals: readonly ArrayLike<number>[],
  sampleRate_Hz: number,
  { t_s }: AngleGrid,
  quality: ResamplingQuality,
): Float64Array[] {
  const inputs = signals.map((x) => (x instanceof Float64Array ? x : Float64Array.from(x)));
  const end = inputs.reduce((shortest, x) => Math.min(shortest, x.length), Number.POSITIVE_INFINITY) - 1;
  const { halfWidth, table } = kernelOf(quality);
  const outputs = inputs.map(() => new Float64Array(t_s.length));
  let weights = new Float64Array(256);
  const last = t_s.length - 1;
  for (let n = 0; n <= last; n++) {
    const at = t_s[n]! * sampleRate_Hz;
    const step =
      ((t_s[Math.min(last, n + 1)]! - t_s[Math.max(0, n - 1)]!) * sampleRate_Hz) /
      (n > 0 && n < last ? 2 : 1);
    // The kernel's slope is centred on the cut-off: what folds back at the new Nyquist rate stays above
    // USABLE_ORDERS of it.
    const scale = Math.min(1, 1 / step);
    const reach = halfWidth / scale;
    const from = Math.max(0, Math.ceil(at - reach));
    const to = Math.min(end, Math.floor(at + reach));
    const count = Math.max(0, to - from + 1);
    if (count > weights.length) weights = new Float64Array(2 * count);
    weigh(table, from - at, scale, weights, count);
    for (let c = 0; c < inputs.length; c++) outputs[c]![n] = dot(weights, inputs[c]!, from, count);
  }
  return outputs;
}

/** Sets the first `count` weights: the kernel stretched by 1 / scale, from `first` samples beside its centre on. */
function weigh(
  table: Float64Array,
  first: number,
  scale: number,
  weights: Float64Array,
  count: number,
): void {
  const perSample = scale * KERNEL_STEPS;
  for (let k = 0; k < count; k++) {
    const place = Math.abs(first + k) * perSample;
    const index = place | 0;
    const left = table[index]!;
    weights[k] = scale * (left + (place - index) * (table[index + 1]! - left));
  }
}
