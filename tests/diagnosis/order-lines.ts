import type { ChannelMeasure } from '../../shared/diagnosis/measure-run.ts';
import { knownTurns } from '../../shared/diagnosis/shaft-turns.ts';
import type { RunningGear } from '../../shared/driveline/runningGear.ts';

/** Measured pickups made of lines over a flat floor, for tests of what is heard in order spectra. */

const STEP = 1 / 16;
const BINS = 1200;

export type Line = { readonly order: number; readonly power: number };

/** A Hann line over a flat floor. */
function spectrum(lines: readonly Line[]) {
  const power = new Float64Array(BINS).fill(1e-4);
  for (const line of lines) {
    const k = Math.round(line.order / STEP);
    power[k] = power[k]! + line.power;
    for (const side of [k - 1, k + 1]) power[side] = power[side]! + line.power / 4;
  }
  return { step: STEP, power, noiseBandwidth_bins: 1.5, blocks: 50 };
}

/** A pickup in one run, one stretch of ten seconds for each gear; gears that nobody noted are null. */
export function pickup(
  vehicle: RunningGear,
  run: number,
  position: string,
  ...stretches: readonly { readonly gearRatio?: number | null; readonly lines: readonly Line[] }[]
): ChannelMeasure {
  return {
    run,
    channel: 1,
    position,
    grade: 'sharp',
    stretches: stretches.map(({ gearRatio = null, lines }, i) => ({
      stretch: {
        from_s: 10 * i,
        to_s: 10 * (i + 1),
        state: 'drive',
        gearRatio,
        shafts: knownTurns(vehicle, gearRatio),
        wheel_Hz: 11,
      },
      bands: new Float64Array(35),
      orders: spectrum(lines),
      envelopes: [],
    })),
  };
}
