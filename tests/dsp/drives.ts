import { motionFromSpeed, type ShaftMotion, turnsAtSamples } from '../../shared/dsp/speed-motion.ts';
import { gaussianNoise } from '../reference/scipy/noise.ts';

/** A drive with known truth: the speed over time in km/h and what a slow receiver makes of it. */
export type Drive = {
  readonly motion: ShaftMotion;
  readonly readings: { readonly t_s: number[]; readonly value: number[]; readonly hzPerUnit: number };
};

/**
 * @param speed_km_h true speed over time, also before 0 s, since readings come late
 * @param circumferenceFactor true rolling circumference over the nominal one
 */
export function drive(
  speed_km_h: (t: number) => number,
  seconds: number,
  { circumferenceFactor = 1, late_s = 0, everySecond = 4, quantum = 1 } = {},
): Drive {
  const nominal_m = 1.93;
  const t: number[] = [];
  const hz: number[] = [];
  for (let i = -30; i <= seconds * 10 + 30; i++) {
    t.push(i / 10);
    hz.push(speed_km_h(i / 10) / 3.6 / (nominal_m * circumferenceFactor));
  }
  const times = Array.from({ length: seconds * everySecond + 1 }, (_, i) => i / everySecond);
  return {
    motion: motionFromSpeed(t, hz),
    readings: {
      t_s: times,
      value: times.map((s) => Math.round(speed_km_h(s - late_s) / quantum) * quantum),
      hzPerUnit: 1 / 3.6 / nominal_m,
    },
  };
}

/** Orders of a shaft with RMS levels, in Gaussian noise. */
export function recording(
  motion: ShaftMotion,
  seconds: number,
  sampleRate_Hz: number,
  lines: readonly { order: number; rms: number }[],
  noiseRms: number,
  seed = 1,
): Float64Array {
  const turns = turnsAtSamples(motion, 0, sampleRate_Hz, seconds * sampleRate_Hz);
  const x = gaussianNoise(turns.length, seed);
  for (let n = 0; n < x.length; n++) {
    let sum = x[n]! * noiseRms;
    for (const { order, rms } of lines) {
      sum += Math.SQRT2 * rms * Math.cos(2 * Math.PI * order * turns[n]! + order);
    }
    x[n] = sum;
  }
  return x;
}

export const decibels = (ratio: number): number => 20 * Math.log10(ratio);
