import { median } from './levels.ts';
import { angleGrid, sampleOnGrid } from './order-track.ts';
import { type Precision, realTransform } from './real-transform.ts';
import type { ShaftMotion } from './speed-motion.ts';
import { hann } from './windows.ts';

/** Relative rate grid of a search: 1 + (i - centre) × step. */
export type RateGrid = { readonly centre: number; readonly step: number; readonly size: number };

export function rateGrid(halfWidth: number, step: number): RateGrid {
  const centre = Math.ceil(halfWidth / step);
  return { centre, step, size: 2 * centre + 1 };
}

/** Channels with only what the orders need, at a lower rate. */
export type LowRate = {
  /** One for each channel, of equal length. */
  readonly channels: readonly Float64Array[];
  readonly sampleRate_Hz: number;
  /** Of the transforms. */
  readonly precision: Precision;
};

/** Log likelihood ratio of each relative rate in each frame. */
export type Observation = {
  /** Middle of each frame, s. */
  readonly frames: number[];
  readonly grid: RateGrid;
  readonly score: readonly Float64Array[];
  /** The same for each order by itself: [order][frame]. */
  readonly byOrder: readonly (readonly Float64Array[])[];
};

/**
 * Scores every relative rate of the grid in half-overlapped frames of equal angle: for each order and channel the log
 * likelihood ratio, line against noise, of the spectrum's power over its local median.
 * @param motion the rate that the grid is relative to
 * @returns null when channels and motion share less than one frame
 */
export function observe(
  { channels, sampleRate_Hz, precision }: LowRate,
  motion: ShaftMotion,
  orders: readonly number[],
  turnsPerFrame: number,
  grid: RateGrid,
): Observation | null {
  const top = Math.max(...orders) * (1 + grid.centre * grid.step) + 2;
  const samplesPerTurn = Math.ceil((2 * top) / 0.8);
  const end_s = Math.min(...channels.map((x) => (x.length - 1) / sampleRate_Hz));
  const angle = angleGrid(motion, end_s, samplesPerTurn);
  const length = turnsPerFrame * samplesPerTurn;
  if (!angle || angle.t_s.length < length) return null;
  const hop = Math.floor(length / 2);
  const count = Math.floor((angle.t_s.length - length) / hop) + 1;
  const frames = Array.from({ length: count }, (_, b) => {
    const at = b * hop;
    return 0.5 * (angle.t_s[at]! + angle.t_s[at + length - 1]!);
  });
  const window = hann(length);
  const byOrder = orders.map(() => frames.map(() => new Float64Array(grid.size)));
  for (const samples of sampleOnGrid(channels, sampleRate_Hz, angle, 'coarse')) {
    addScores({ samples, samplesPerTurn, window, hop, precision }, orders, grid, byOrder);
  }
  const score = frames.map((_, f) => {
    const sum = new Float64Array(grid.size);
    for (const rows of byOrder) for (let i = 0; i < sum.length; i++) sum[i] = sum[i]! + rows[f]![i]!;
    return sum;
  });
  return { frames, grid, score, byOrder };
}

/** Bins of the spectrum, on either side of an order, from which its noise floor is taken: a share of it and a rest. */
const FLOOR_SHARE = 0.2;
const FLOOR_ORDERS = 1.5;
const FLOOR_SAMPLES = 150;

/** One channel over angle, and the frames that it is cut into. */
type FramedSignal = {
  readonly samples: Float64Array;
  readonly samplesPerTurn: number;
  readonly window: Float64Array;
  readonly hop: number;
  readonly precision: Precision;
};

function addScores(
  { samples, samplesPerTurn, window, hop, precision }: FramedSignal,
  orders: readonly number[],
  grid: RateGrid,
  byOrder: readonly (readonly Float64Array[])[],
): void {
  const { length } = window;
  const fft = realTransform(2 * length, precision);
  const { input, spectrum } = fft;
  const step = samplesPerTurn / fft.size;
  const power = new Float64Array(fft.size / 2 + 1);
  for (let b = 0; b < byOrder[0]!.length; b++) {
    for (let i = 0; i < length; i++) input[i] = samples[b * hop + i]! * window[i]!;
    input.fill(0, length);
    fft.transform();
    for (let k = 0; k < power.length; k++) {
      const re = spectrum[2 * k]!;
      const im = spectrum[2 * k + 1]!;
      power[k] = re * re + im * im;
    }
    for (const [o, order] of orders.entries()) {
      const row = byOrder[o]![b]!;
      const floor = noiseFloor(
        power,
        order * (1 - FLOOR_SHARE) - FLOOR_ORDERS,
        order * (1 + FLOOR_SHARE) + FLOOR_ORDERS,
        step,
      );
      if (floor > 0) addScoresOfFrame(power, order / step, floor, grid, row);
    }
  }
}

/** @param place where the order lies in the spectrum, in bins */
function addScoresOfFrame(
  power: Float64Array,
  place: number,
  floor: number,
  grid: RateGrid,
  row: Float64Array,
): void {
  for (let i = 0; i < grid.size; i++) {
    const at = place * (1 + (i - grid.centre) * grid.step);
    const k = Math.floor(at);
    if (k + 1 >= power.length) break;
    const u = at - k;
    row[i] = row[i]! + lineAgainstNoise((power[k]! * (1 - u) + power[k + 1]! * u) / floor);
  }
}

function noiseFloor(power: Float64Array, fromOrder: number, toOrder: number, step: number): number {
  const from = Math.max(2, Math.round(Math.max(fromOrder, 0.3) / step));
  const to = Math.min(power.length - 1, Math.round(toOrder / step));
  if (to < from) return 0;
  const stride = Math.max(1, Math.floor((to - from) / FLOOR_SAMPLES));
  const some = new Float64Array(Math.floor((to - from) / stride) + 1);
  for (let i = 0; i < some.length; i++) some[i] = power[from + i * stride]!;
  let strongest = 0;
  for (let k = from; k <= to; k++) strongest = Math.max(strongest, power[k]!);
  return Math.max(median(some), WINDOW_RANGE * strongest);
}

/** Chance that an expected order stands out in a frame of a channel, before looking. */
const LINE_CHANCE = 0.3;
/** Lines have these powers over the noise, alike probable: from barely there to plain. */
const LINE_POWERS = [2, 6, 20, 60, 200, 600];
/** Above this a score grows with the logarithm only: a single strong line of another part must not decide alone. */
const PLAIN_SCORE = 5;
const SCORE_PER_NEPER = 1.5;
/** The floor is at least this share of the strongest bin around: in a quiet signal the window's skirts are no lines. */
const WINDOW_RANGE = 3e-3;

const SCORE_STEPS_PER_DOUBLING = 8;
const scoreTable = Float64Array.from({ length: 20 * SCORE_STEPS_PER_DOUBLING }, (_, i) => {
  // Noise bins of a spectrum are exponentially distributed; their median is ln 2 of their mean.
  const w = 2 ** (i / SCORE_STEPS_PER_DOUBLING - 4) * Math.LN2;
  let line = 0;
  for (const s of LINE_POWERS) line += Math.exp((w * s) / (1 + s)) / (1 + s) / LINE_POWERS.length;
  return Math.log(1 - LINE_CHANCE + LINE_CHANCE * line);
});
for (let i = 1; i < scoreTable.length; i++) {
  const slower = scoreTable[i - 1]! + (SCORE_PER_NEPER * Math.LN2) / SCORE_STEPS_PER_DOUBLING;
  if (scoreTable[i - 1]! >= PLAIN_SCORE) scoreTable[i] = Math.min(scoreTable[i]!, slower);
}

/** Log likelihood ratio of a bin's power over the median. */
function lineAgainstNoise(ratio: number): number {
  const place = (Math.log2(ratio + 1e-9) + 4) * SCORE_STEPS_PER_DOUBLING;
  const i = Math.max(0, Math.min(scoreTable.length - 2, Math.floor(place)));
  const u = Math.max(0, Math.min(1, place - i));
  return scoreTable[i]! * (1 - u) + scoreTable[i + 1]! * u;
}
