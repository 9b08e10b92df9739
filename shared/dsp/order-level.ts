import type { OrderFrames } from './order-spectrum.ts';
import { orderRms } from './order-spectrum.ts';
import { assertPositive } from './validation.ts';

/** Level of one order along a run. */
export type OrderLevels = {
  readonly t_s: Float64Array;
  /** Turning rate of the reference shaft, Hz. */
  readonly hz: Float64Array;
  /** RMS of the order in the signal's unit. */
  readonly rms: Float64Array;
};

/**
 * RMS of an order block by block, to be drawn against time or against speed.
 * @param frames blocks of `orderFrames`
 * @param order in turns of the frames' shaft
 * @param halfWidth orders on either side that count as the line; by default the window's main lobe
 */
export function orderLevels(frames: OrderFrames, order: number, halfWidth = 0): OrderLevels {
  assertPositive(order, 'order');
  const rms = new Float64Array(frames.power.length);
  frames.power.forEach((power, b) => {
    const spectrum = { ...frames, rms: power.map(Math.sqrt), blocks: 1 };
    rms[b] = orderRms(spectrum, order, halfWidth);
  });
  return { t_s: frames.t_s, hz: frames.hz, rms };
}

/** Colour map of speed against order. */
export type SpeedOrderMap = {
  /** Order of column k is k × step. */
  readonly step: number;
  /** Middle of each row's speed class in Hz of the reference shaft, rising. */
  readonly hz: Float64Array;
  /** RMS per row and column; a row of a speed that did not occur is null. */
  readonly rms: readonly (Float64Array | null)[];
};

/**
 * Averages blocks of like speed.
 * @param frames blocks of `orderFrames`
 * @param classes number of speed classes between the slowest and the fastest block
 */
export function speedOrderMap(frames: OrderFrames, classes: number): SpeedOrderMap {
  assertPositive(classes, 'classes');
  const lo = frames.hz.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  const hi = frames.hz.reduce((a, b) => Math.max(a, b), 0);
  const width = (hi - lo) / classes || 1;
  const sums: { power: Float64Array; count: number }[] = [];
  frames.power.forEach((power, b) => {
    const row = Math.min(classes - 1, Math.floor((frames.hz[b]! - lo) / width));
    const sum = (sums[row] ??= { power: new Float64Array(power.length), count: 0 });
    for (let k = 0; k < power.length; k++) sum.power[k] = sum.power[k]! + power[k]!;
    sum.count++;
  });
  return {
    step: frames.step,
    hz: Float64Array.from({ length: classes }, (_, r) => lo + (r + 0.5) * width),
    rms: Array.from({ length: classes }, (_, r) => {
      const sum = sums[r];
      return sum ? sum.power.map((p) => Math.sqrt(p / sum.count)) : null;
    }),
  };
}
