import { quantile } from '../dsp/levels.ts';
import type { AngleSignal } from '../dsp/order-track.ts';
import { SincInterpolator } from '../dsp/resample.ts';
import { type ShaftMotion, timesOfTurns, turnsAtSamples } from '../dsp/speed-motion.ts';

/**
 * Equal steps of a shaft's angle over a run, found once and used for all its channels: computed order tracking of
 * many channels at the cost of one (`resampleToAngle` finds the steps anew for each).
 */
export class AngleGrid {
  readonly samplesPerTurn: number;
  readonly #firstTurn: number;
  readonly #t_s: Float64Array;
  readonly #positions: Float64Array;
  readonly #interpolator: SincInterpolator;

  private constructor(samplesPerTurn: number, firstTurn: number, t_s: Float64Array, rate_Hz: number) {
    this.samplesPerTurn = samplesPerTurn;
    this.#firstTurn = firstTurn;
    this.#t_s = t_s;
    this.#positions = t_s.map((t) => t * rate_Hz);
    const steps = new Float64Array(Math.ceil(t_s.length / samplesPerTurn));
    for (let i = 0; i < steps.length; i++) {
      const at = Math.min(t_s.length - 2, i * samplesPerTurn);
      steps[i] = t_s[at + 1]! - t_s[at]!;
    }
    // Setting off and stopping would ask for a filter without end; nothing is measured in them.
    this.#interpolator = new SincInterpolator(1 / (quantile(steps, 0.9) * rate_Hz), 'folded');
  }

  /**
   * @param seconds length of the recording
   * @param rate_Hz rate of the signals that will be read
   * @param least_turns grids of fewer turns are of no use
   * @returns null when the motion covers too little of the recording
   */
  static of(
    motion: ShaftMotion,
    seconds: number,
    rate_Hz: number,
    samplesPerTurn: number,
    least_turns: number,
  ): AngleGrid | null {
    const last = motion.t_s.length - 1;
    const end = seconds - 1 / rate_Hz;
    if (motion.t_s[last]! <= 0 || motion.t_s[0]! >= end) return null;
    const from = motion.t_s[0]! < 0 ? turnsAtSamples(motion, 0, 1, 1)[0]! : motion.turns[0]!;
    const to = motion.t_s[last]! > end ? turnsAtSamples(motion, end, 1, 1)[0]! : motion.turns[last]!;
    if (!(to - from >= least_turns)) return null;
    const first = Math.ceil(from * samplesPerTurn) / samplesPerTurn;
    const count = Math.floor((to - first) * samplesPerTurn + 1e-9) + 1;
    return new AngleGrid(
      samplesPerTurn,
      first,
      timesOfTurns(motion, first, 1 / samplesPerTurn, count),
      rate_Hz,
    );
  }

  /** Channels' signals (at the grid's rate, of equal length) at the grid's angles. */
  read(signals: readonly Float32Array[]): AngleSignal[] {
    return this.#interpolator.interpolateAll(signals, this.#positions).map((samples) => ({
      samples,
      samplesPerTurn: this.samplesPerTurn,
      firstTurn: this.#firstTurn,
      t_s: this.#t_s,
    }));
  }
}
