import { median } from '../dsp/levels.ts';
import { welch } from '../dsp/spectrum.ts';
import type { ChannelFault } from './channel-faults.ts';

/** Length of the stretches whose levels tell a loose plug. */
const STRETCH_S = 0.025;

export type ChannelStatistics = {
  readonly frames: number;
  /** Mean and root mean square about it, ratios of full scale. */
  readonly mean: number;
  readonly rms: number;
  readonly peak: number;
  /** Share of samples at the very top or bottom of the channel's range. */
  readonly flatShare: number;
  readonly nonFinite: number;
  /** RMS change from sample to sample in each fortieth of a second: blind to slow swaying and offsets. */
  readonly stretches: Float64Array;
};

/** Follows a channel's raw samples; replaces values that are not numbers by 0 in place. */
export class ChannelWatch {
  readonly #perStretch: number;
  #frames = 0;
  #sum = 0;
  #squares = 0;
  #stretchChanges = 0;
  #last = 0;
  #inStretch = 0;
  #high = Number.NEGATIVE_INFINITY;
  #low = Number.POSITIVE_INFINITY;
  #atHigh = 0;
  #atLow = 0;
  #nonFinite = 0;
  readonly #stretches: number[] = [];

  constructor(sampleRate_Hz: number) {
    this.#perStretch = Math.max(1, Math.round(STRETCH_S * sampleRate_Hz));
  }

  push(samples: Float32Array, count: number): void {
    let at = 0;
    while (at < count) {
      const n = Math.min(this.#perStretch - this.#inStretch, count - at);
      this.#take(samples, at, at + n);
      at += n;
      this.#inStretch += n;
      if (this.#inStretch === this.#perStretch) this.#endStretch();
    }
    this.#frames += count;
  }

  #take(samples: Float32Array, from: number, to: number): void {
    let sum = 0;
    let squares = 0;
    let changes = 0;
    let last = this.#last;
    let high = this.#high;
    let low = this.#low;
    let atHigh = this.#atHigh;
    let atLow = this.#atLow;
    for (let i = from; i < to; i++) {
      const x = samples[i]!;
      sum += x;
      squares += x * x;
      changes += (x - last) * (x - last);
      last = x;
      if (x >= high) {
        atHigh = x === high ? atHigh + 1 : 1;
        high = x;
      } else if (x <= low) {
        atLow = x === low ? atLow + 1 : 1;
        low = x;
      }
    }
    if (!Number.isFinite(squares)) {
      for (let i = from; i < to; i++) {
        if (Number.isFinite(samples[i]!)) continue;
        samples[i] = 0;
        this.#nonFinite++;
      }
      this.#take(samples, from, to);
      return;
    }
    this.#sum += sum;
    this.#squares += squares;
    this.#stretchChanges += changes;
    this.#last = last;
    this.#high = high;
    this.#low = low;
    this.#atHigh = atHigh;
    this.#atLow = atLow;
  }

  #endStretch(): void {
    this.#stretches.push(Math.sqrt(this.#stretchChanges / this.#inStretch));
    this.#stretchChanges = this.#inStretch = 0;
  }

  finish(): ChannelStatistics {
    const frames = this.#frames;
    const mean = frames > 0 ? this.#sum / frames : 0;
    return {
      frames,
      mean,
      rms: frames > 0 ? Math.sqrt(Math.max(0, this.#squares / frames - mean * mean)) : 0,
      peak: frames > 0 ? Math.max(this.#high, -this.#low) : 0,
      flatShare: frames > 0 ? Math.max(this.#atHigh, this.#atLow) / frames : 0,
      nonFinite: this.#nonFinite,
      stretches: Float64Array.from(this.#stretches),
    };
  }
}

/** A clean signal touches its own highest value once or twice; a limited one stays there. */
const FLAT_SHARE = 5e-5;
const FLAT_SAMPLES = 12;
/** Below this ratio of full scale nothing but the converter's own noise is left. */
const CONVERTER_NOISE = 3e-6;
/** Pickups on one car differ by 20 dB or more; 46 dB below the middle one there is no vibration in it. */
const DEAD_RATIO = 0.005;
/** RMS in m/s² that a driving car's running gear stays within by a wide margin (common practice). */
const PLAUSIBLE_M_S2 = [0.005, 150] as const;

/** A pickup this far from all others in every band alike has another sensitivity than was entered. */
const ODD_GAIN_DB = 18;

/**
 * The faults of every channel of a run, judged together: what all channels do at once is the road, what one does
 * alone is its lead.
 * @param statistics one per channel
 * @param low each channel's signal at `lowRate_Hz`, ratio of full scale
 * @param fullScale_m_s2 one per channel, null where unknown
 * @param bands_db for each channel its levels in a few bands, full scale counted in where known
 */
export function channelFaults(
  statistics: readonly ChannelStatistics[],
  low: readonly Float32Array[],
  lowRate_Hz: number,
  fullScale_m_s2: readonly (number | null)[],
  bands_db: readonly (readonly number[])[],
): ChannelFault[][] {
  const scaled = statistics.map((s, c) => s.rms * (fullScale_m_s2[c] ?? 1));
  const sameScale = fullScale_m_s2.every((f) => f !== null) || fullScale_m_s2.every((f) => f === null);
  const alive = scaled.filter((_, c) => statistics[c]!.rms > CONVERTER_NOISE);
  const middle = alive.length > 0 ? median(alive) : 0;
  return statistics.map((s, c) => {
    const faults: ChannelFault[] = [];
    if (s.nonFinite > 0) faults.push('corrupt');
    if (s.rms < CONVERTER_NOISE || (sameScale && alive.length > 1 && scaled[c]! < DEAD_RATIO * middle)) {
      faults.push('dead');
      return faults;
    }
    if (s.flatShare > FLAT_SHARE && s.flatShare * s.frames > FLAT_SAMPLES && s.peak > 3 * Math.abs(s.mean)) {
      // A coarse converter also repeats its top value; only a peak near the RMS means a cut-off wave.
      if (s.peak < 12 * s.rms || s.peak >= 0.98) faults.push('clipped');
    }
    if (isLoose(c, statistics)) faults.push('loose');
    if (hasHum(low[c]!, lowRate_Hz)) faults.push('hum');
    if (Math.abs(s.mean) > 0.02 && Math.abs(s.mean) > s.rms) faults.push('offset');
    const full = fullScale_m_s2[c];
    const level = s.rms * (full ?? Number.NaN);
    const outside = level < PLAUSIBLE_M_S2[0] || level > PLAUSIBLE_M_S2[1];
    if (outside || (sameScale && hasOddGain(c, bands_db))) faults.push('implausible');
    return faults;
  });
}

/** Far from the middle of the others in every band, and always to the same side. */
function hasOddGain(channel: number, bands_db: readonly (readonly number[])[]): boolean {
  const others = bands_db.filter((_, c) => c !== channel);
  // Of two pickups that differ nobody can say which is wrong, and of three places one may well stand apart.
  if (others.length < 3) return false;
  const gaps = bands_db[channel]!.map((level, b) => level - median(others.map((o) => o[b]!)));
  return gaps.every((g) => g > ODD_GAIN_DB) || gaps.every((g) => g < -ODD_GAIN_DB);
}

const DROPPED = 0.03;
const BURST = 8;
const ODD_SHARE = 0.01;

/** Stretches that drop out, or burst while the other channels stay calm. */
function isLoose(channel: number, statistics: readonly ChannelStatistics[]): boolean {
  const own = statistics[channel]!.stretches;
  if (own.length < 40) return false;
  const middles = statistics.map((s) => (s.stretches.length > 0 ? median(s.stretches) : 0));
  let odd = 0;
  for (let i = 0; i < own.length; i++) {
    const ratio = own[i]! / middles[channel]!;
    const others = statistics
      .map((s, c) => (c === channel || !(middles[c]! > 0) ? Number.NaN : (s.stretches[i] ?? 0) / middles[c]!))
      .filter((r) => Number.isFinite(r));
    const around = others.length > 0 ? median(others) : 1;
    // Standing still quietens every channel alike.
    if (ratio < DROPPED && around > 0.3) odd++;
    else if (ratio > BURST && ratio > (BURST / 2) * Math.max(...others, 1)) odd++;
  }
  return odd >= Math.max(3, ODD_SHARE * own.length);
}

/** Share of the power below 500 Hz in exact multiples of 50 or 60 Hz that makes a channel useless. */
const HUM_SHARE = 0.3;

function hasHum(low: Float32Array, rate_Hz: number): boolean {
  const segmentLength = Math.round(4 * rate_Hz);
  if (low.length < 2 * segmentLength) return false;
  const { density, step_Hz } = welch(low, rate_Hz, {
    segmentLength,
    overlap: 0,
    window: 'hann',
    precision: 'single',
  });
  const at = (f: number) => Math.round(f / step_Hz);
  const power = (from: number, to: number) => {
    let sum = 0;
    for (let k = from; k <= to; k++) sum += density[k]!;
    return sum;
  };
  const total = power(at(20), Math.min(density.length - 1, at(500)));
  for (const mains of [50, 60]) {
    let lines = 0;
    let sharp = 0;
    for (const multiple of [1, 2, 3, 4, 5]) {
      const centre = at(mains * multiple);
      const line = power(centre - 2, centre + 2);
      const beside = Array.from(density.slice(centre - 24, centre - 4)).concat(
        Array.from(density.slice(centre + 5, centre + 25)),
      );
      // Mains lines are narrower than any line of a car that is not on rails.
      if (line > 40 * 5 * median(beside)) {
        sharp++;
        lines += line;
      }
    }
    if (sharp >= 2 && lines > HUM_SHARE * total) return true;
  }
  return false;
}
