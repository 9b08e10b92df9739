import type { Check, CheckSetting } from '../../../electron/live/checks/check.ts';
import { Network } from '../../../seeds/road-drive/network.ts';
import { Random } from '../../../seeds/road-drive/random.ts';
import { randomVehicle } from '../../../seeds/scenarios/vehicle.ts';
import type { CheckResult } from '../../../shared/contract/visit-work.ts';
import { realFft } from '../../../shared/dsp/fft.ts';

export const RATE = 48_000;
const BLOCK = 480;

export const setting = (
  positions: readonly string[],
  fullScale_m_s2: number | null = 200,
  sampleRate_Hz = RATE,
): CheckSetting => ({
  sampleRate_Hz,
  channels: positions.map((position, i) => ({
    channel: i + 1,
    role: 'vibration',
    position,
    fullScale_m_s2,
  })),
});

/** Feeds a check in blocks as the stream does; null when the samples end before it knows. */
export function run(check: Check, samples: readonly Float32Array[], block = BLOCK): CheckResult | null {
  for (let from = 0; from < samples[0]!.length; from += block) {
    const frames = Math.min(block, samples[0]!.length - from);
    const result = check.feed(
      samples.map((s) => s.subarray(from, from + frames)),
      frames,
    );
    if (result) return result;
  }
  return null;
}

/** Noise of a pickup and its interface at rest: white, with a little of the workshop's floor below 100 Hz. */
export function restNoise(seconds: number, rms: number, name: string, rate = RATE): Float32Array {
  const random = new Random(name);
  let floor = 0;
  return Float32Array.from({ length: Math.round(seconds * rate) }, () => {
    floor += 0.013 * (random.normal() - floor);
    return rms * (random.normal() + 3 * floor);
  });
}

export const add = (to: Float32Array, from: Float32Array | Float64Array, at: number, gain = 1): void => {
  for (let i = 0; i < from.length && at + i < to.length; i++) to[at + i]! += gain * from[i]!;
};

export const tone = (seconds: number, hz: number, rms: number, rate = RATE): Float32Array =>
  Float32Array.from(
    { length: Math.round(seconds * rate) },
    (_, i) => Math.SQRT2 * rms * Math.sin((2 * Math.PI * hz * i) / rate),
  );

/** A tap with something hard: half a sine of 0.4 ms, then nothing. */
const PULSE = Float64Array.from({ length: Math.round(0.0004 * RATE) }, (_, i) =>
  Math.sin((Math.PI * (i + 0.5)) / Math.round(0.0004 * RATE)),
);

const TAPS = 1024;

/**
 * What a tap at a place sends to other places over the simulated running gear of an invented vehicle, as samples of
 * acceleration with a peak of about 1 at the place itself.
 */
export function tapResponses(seed: number, at: string, positions: readonly string[]): Float64Array[] {
  const key = [seed, at, ...positions].join();
  let known = remembered.get(key);
  if (!known) remembered.set(key, (known = computeResponses(seed, at, positions)));
  return known;
}

const remembered = new Map<string, Float64Array[]>();

function computeResponses(seed: number, at: string, positions: readonly string[]): Float64Array[] {
  const vehicle = randomVehicle(seed, 'rwd', false);
  const network = new Network(vehicle, seed, RATE, TAPS / 2 + 1);
  const transfers = network.from(at, positions);
  const fft = realFft(TAPS);
  return positions.map((position) => {
    const response = fft.inverse(transfers.get(position)!);
    const out = new Float64Array(TAPS + PULSE.length);
    for (let i = 0; i < TAPS; i++) {
      for (let k = 0; k < PULSE.length; k++) out[i + k]! += response[i]! * PULSE[k]!;
    }
    return out;
  });
}
