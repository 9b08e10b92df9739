import { median } from './levels.ts';
import { spectrogram } from './spectrogram.ts';
import { motionFromSpeed, rateAt } from './speed-motion.ts';
import { LATENESS_S, type SpeedReadings, USUAL_LATENESS_S } from './speed-readings.ts';
import { smoothSpeed } from './speed-smooth.ts';

/** In a frame this long a line of a car that speeds up by 2 km/h in a second moves about its own width. */
const FRAME_S = 0.34;
/** Relative spacing of the orders that are tried. */
const ORDER_STEP = 0.002;
/** Below this road and tyres leave no line to itself. */
const LOWEST_ORDER = 4;
/** Share of the sample rate up to which the signal is whole. */
const HIGHEST = 0.42;
/** A bin stands out by at most this much: one loud line must not drown the others. */
const MOST_DB = 15;
/** A line stands out by this much on average over all frames and channels, more than half of all orders do. */
const LEAST_DB = 1.2;
/** Two maxima closer than this, relative, are one line. */
const APART = 0.015;
const MOST_LINES = 8;
/** Share of the fastest rate below which frames are not looked at: slow frames hold few turns. */
const SLOWEST = 0.4;

/**
 * The orders of a shaft at which lines stand out, whatever makes them: what moves with the readings of the speed
 * belongs to something that turns. The readings' lateness is sought along with them, since lines run together only
 * at the right one: the sharpest sum of all frames' spectra over order wins.
 * @param channels time signals of equal rate and clock, any units
 * @param readings at least three
 * @returns up to eight orders, the clearest first, in the readings' own scale; none when nothing stands out or the
 *   car stood
 * @throws RangeError for no channel, NaN or infinity; `loadSingleFft()` must have been awaited
 */
export function standingLines(
  channels: readonly Float32Array[],
  sampleRate_Hz: number,
  readings: SpeedReadings,
): number[] {
  const smooth = smoothSpeed(readings.t_s, readings.value);
  const fastest_Hz = smooth.value.reduce((a, b) => Math.max(a, b), 0) * readings.hzPerUnit;
  const count = Math.floor(Math.log((HIGHEST * sampleRate_Hz) / fastest_Hz / LOWEST_ORDER) / ORDER_STEP);
  if (!(fastest_Hz > 0 && count > 0)) return [];
  const motion = motionFromSpeed(
    smooth.t_s,
    smooth.value.map((v) => Math.max(0.01 * fastest_Hz, v * readings.hzPerUnit)),
  );
  const orders = Float64Array.from({ length: count }, (_, i) => LOWEST_ORDER * Math.exp(i * ORDER_STEP));
  const { times_s, db, bins, step_Hz } = meanProminence(channels, sampleRate_Hz);
  let best: { sharpness: number; over: Float64Array } | null = null;
  for (let lateness_s = LATENESS_S.least; lateness_s <= LATENESS_S.most + 1e-9; lateness_s += 0.1) {
    const over = new Float64Array(count);
    let rows = 0;
    for (let r = 0; r < times_s.length; r++) {
      const rate_Hz = rateAt(motion, times_s[r]! + lateness_s);
      if (rate_Hz < SLOWEST * fastest_Hz) continue;
      rows++;
      const row = db.subarray(r * bins, (r + 1) * bins);
      const binsPerOrder = rate_Hz / step_Hz;
      for (let i = 0; i < count; i++) over[i] = over[i]! + row[(orders[i]! * binsPerOrder + 0.5) | 0]!;
    }
    if (rows === 0) return [];
    const middle = median(over) / rows;
    let sharpness = 0;
    for (let i = 0; i < count; i++) {
      over[i] = over[i]! / rows - middle;
      if (over[i]! > 0) sharpness += over[i]! ** 2;
    }
    // At a steady speed every lateness is as sharp: then the usual one is as good as any.
    sharpness *= Math.exp(-0.02 * ((lateness_s - USUAL_LATENESS_S.mean) / USUAL_LATENESS_S.sigma) ** 2);
    if (!best || sharpness > best.sharpness) best = { sharpness, over };
  }
  return maxima(best!.over)
    .slice(0, MOST_LINES)
    .map((i) => orders[i]!);
}

/** Places of the clear maxima, the highest first. */
function maxima(over: Float64Array): number[] {
  const reach = Math.round(APART / ORDER_STEP);
  const found: number[] = [];
  for (let i = reach; i < over.length - reach; i++) {
    if (over[i]! >= LEAST_DB && over.subarray(i - reach, i + reach + 1).every((v) => v <= over[i]!))
      found.push(i);
  }
  return found.sort((a, b) => over[b]! - over[a]!);
}

/** The noise that a bin is held against comes from this share of its frequency around it, at least so many bins. */
const AROUND = 0.12;
const LEAST_AROUND_BINS = 12;
/** That many of them tell its median well enough. */
const SAMPLED_BINS = 40;

type Prominence = {
  readonly times_s: Float64Array;
  readonly step_Hz: number;
  readonly bins: number;
  /** Frame by frame, `bins` values each. */
  readonly db: Float64Array;
};

/** How far each bin of each frame stands above the median around it, 0 to `MOST_DB`, in the mean of all channels. */
function meanProminence(channels: readonly Float32Array[], sampleRate_Hz: number): Prominence {
  const segmentLength = 2 ** Math.round(Math.log2(FRAME_S * sampleRate_Hz));
  const length = channels.reduce((shortest, x) => Math.min(shortest, x.length), Number.POSITIVE_INFINITY);
  let mean: Prominence | null = null;
  for (const channel of channels) {
    const { density, ...axes } = spectrogram(channel.subarray(0, length), sampleRate_Hz, {
      segmentLength,
      precision: 'single',
    });
    mean ??= { ...axes, db: new Float64Array(density.length) };
    for (let at = 0; at < density.length; at += axes.bins) {
      addProminence(
        density.subarray(at, at + axes.bins),
        mean.db.subarray(at, at + axes.bins),
        1 / channels.length,
      );
    }
  }
  if (!mean) throw new RangeError('channels is empty; at least one is needed');
  return mean;
}

function addProminence(density: Float32Array, sum: Float64Array, share: number): void {
  const bins = density.length;
  const around = new Float64Array(bins);
  for (let k = 2; k < bins; ) {
    const reach = Math.max(LEAST_AROUND_BINS, Math.round(AROUND * k));
    const from = Math.max(2, k - reach);
    const to = Math.min(bins, k + (reach >> 1));
    const end = Math.min(bins, to + reach);
    const stride = Math.max(1, Math.floor((2 * reach) / SAMPLED_BINS));
    let sampled = 0;
    for (let i = from; i < end; i += stride) around[sampled++] = density[i]!;
    const floor = median(around.subarray(0, sampled));
    for (; k < to; k++) {
      const ratio = density[k]! / floor;
      if (ratio > 1) sum[k] = sum[k]! + share * Math.min(MOST_DB, 10 * Math.log10(ratio));
    }
  }
}
