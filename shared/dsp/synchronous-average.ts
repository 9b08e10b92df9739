import type { AngleSignal } from './order-track.ts';
import { assertWholeNumber } from './validation.ts';

/** What repeats with every turn, and the rest. */
export type SynchronousAverage = {
  /** One period, samplesPerTurn × turnsPerPeriod values in the signal's unit. */
  readonly average: Float64Array;
  /** The signal without it: the noise of bearings and tyres stays, gears of this shaft go. As long as the signal. */
  readonly residual: Float64Array;
  /** Whole periods averaged; noise falls by the root of it. */
  readonly periods: number;
};

/**
 * Time-synchronous average over a shaft's turns (Braun 1975; McFadden, Mech. Syst. Signal Process. 1, 1987; from
 * memory) of an angle-resampled signal.
 * @param turnsPerPeriod turns after which the sought part repeats; 1 for everything that sits on the shaft
 * @throws RangeError when the signal is shorter than one period
 */
export function synchronousAverage(signal: AngleSignal, turnsPerPeriod = 1): SynchronousAverage {
  assertWholeNumber(turnsPerPeriod, 'turnsPerPeriod', 1);
  const { samples, samplesPerTurn } = signal;
  const length = samplesPerTurn * turnsPerPeriod;
  const periods = Math.floor(samples.length / length);
  if (periods < 1) throw new RangeError(`the signal holds less than one period of ${turnsPerPeriod} turns`);
  const average = new Float64Array(length);
  for (let i = 0; i < periods * length; i++) average[i % length] = average[i % length]! + samples[i]!;
  for (let i = 0; i < length; i++) average[i] = average[i]! / periods;
  return { average, residual: samples.map((v, i) => v - average[i % length]!), periods };
}
