import { median } from '../../../shared/dsp/levels.ts';
import { butterworthHighpass, SosFilter } from '../../../shared/dsp/sos.ts';

/** One tap as all channels saw it. */
export interface Tap {
  readonly channels: readonly {
    /** Highest magnitude of the knock, ratio of full scale. */
    readonly peak: number;
    /** The same over the channel's own noise before it. */
    readonly rise_db: number;
    /** When the knock reached this channel, in s after the moment that it was first felt anywhere. */
    readonly after_s: number;
    /** The raw knock about its own mean before it, from a little before its onset. */
    readonly waveform: Float64Array;
    readonly clipped: boolean;
  }[];
}

/** A knock on iron rings well above this; doors, steps and engine idle below it are filtered off. */
const KNOCK_ABOVE_HZ = 200;
const FRAME_S = 0.002;
/** So many noise frames are remembered, about two seconds; a quarter of it must be known before a tap counts. */
const NOISE_FRAMES = 1000;
const LEAST_NOISE_FRAMES = 250;
/** A knock stands out by this much on the channel that feels it most (15 dB over noise peaks is unmistakable). */
const ONSET_RATIO = 10 ** (15 / 20);
/** Before the knock, for its sign and the noise beneath it. */
const BEFORE_S = 0.004;
/** The first half-wave has this share of the knock's height at least; what comes before it is noise. */
const ARRIVAL_SHARE = 0.15;
const ARRIVAL_OVER_NOISE = 4;
/** The knock itself: casings ring off within this. */
const KNOCK_S = 0.05;
/** After it there must be silence again, or it was no knock. */
const QUIET_FROM_S = 0.25;
const QUIET_TO_S = 0.4;
const QUIET_DB = 10;
const CLIPPED = 0.985;

/** Highest magnitude of the last frames of a channel: its noise. */
class NoiseFrames {
  readonly #ring = new Float64Array(NOISE_FRAMES);
  #at = 0;
  count = 0;
  level = 0;

  add(peak: number): void {
    this.#ring[this.#at] = peak;
    this.#at = (this.#at + 1) % NOISE_FRAMES;
    this.count = Math.min(NOISE_FRAMES, this.count + 1);
    // The middle frame is untouched by the knock itself; finding it anew twenty times a second is enough.
    if (this.#at % 25 === 0) this.level = median(this.#ring.subarray(0, this.count));
  }
}

/** The tap as it is being taken in. */
class Taking {
  readonly filtered: Float64Array[];
  readonly raw: Float64Array[];
  frames = 0;

  constructor(channels: number, length: number) {
    this.filtered = Array.from({ length: channels }, () => new Float64Array(length));
    this.raw = Array.from({ length: channels }, () => new Float64Array(length));
  }
}

/**
 * Waits for a tap: a short knock that stands out of each channel's own noise, with silence after it. All channels are
 * looked at over the same moment, because what is asked is which of them felt it most.
 */
export class TapWatch {
  readonly #filters: SosFilter[];
  readonly #noise: NoiseFrames[];
  readonly #frameLength: number;
  readonly #rate: number;
  readonly #scratch: Float64Array[];
  readonly #before: Float64Array[];
  readonly #beforeRaw: Float64Array[];
  #beforeAt = 0;
  #taking: Taking | null = null;
  #inFrame = 0;
  readonly #framePeaks: Float64Array;

  constructor(channels: number, sampleRate_Hz: number) {
    const sections = butterworthHighpass(2, KNOCK_ABOVE_HZ, sampleRate_Hz);
    this.#rate = sampleRate_Hz;
    this.#filters = Array.from({ length: channels }, () => new SosFilter(sections));
    this.#noise = Array.from({ length: channels }, () => new NoiseFrames());
    this.#frameLength = Math.round(FRAME_S * sampleRate_Hz);
    this.#scratch = Array.from({ length: channels }, () => new Float64Array(0));
    const before = Math.round((BEFORE_S + FRAME_S) * sampleRate_Hz);
    this.#before = Array.from({ length: channels }, () => new Float64Array(before));
    this.#beforeRaw = Array.from({ length: channels }, () => new Float64Array(before));
    this.#framePeaks = new Float64Array(channels);
  }

  /** Whether the noise is known well enough to tell a tap from it. */
  get ready(): boolean {
    return this.#noise.every((n) => n.count >= LEAST_NOISE_FRAMES);
  }

  /** @returns a tap that has just been completed */
  feed(samples: readonly Float32Array[], frames: number): Tap | null {
    for (const [c, filter] of this.#filters.entries()) {
      if (this.#scratch[c]!.length < frames) this.#scratch[c] = new Float64Array(frames);
      filter.process(samples[c]!, this.#scratch[c]!, frames);
    }
    let tap: Tap | null = null;
    for (let i = 0; i < frames; i++) {
      if (this.#taking) tap = this.#take(samples, i) ?? tap;
      else this.#wait(samples, i);
    }
    return tap;
  }

  #wait(samples: readonly Float32Array[], i: number): void {
    const channels = this.#filters.length;
    for (let c = 0; c < channels; c++) {
      const x = this.#scratch[c]![i]!;
      const size = x < 0 ? -x : x;
      if (size > this.#framePeaks[c]!) this.#framePeaks[c] = size;
      this.#before[c]![this.#beforeAt] = x;
      this.#beforeRaw[c]![this.#beforeAt] = samples[c]![i]!;
    }
    this.#beforeAt = (this.#beforeAt + 1) % this.#before[0]!.length;
    if (++this.#inFrame < this.#frameLength) return;
    this.#inFrame = 0;
    let knocked = false;
    for (let c = 0; c < channels; c++) {
      const noise = this.#noise[c]!;
      const peak = this.#framePeaks[c]!;
      if (this.ready && peak > ONSET_RATIO * Math.max(noise.level, 1e-7)) knocked = true;
      noise.add(peak);
      this.#framePeaks[c] = 0;
    }
    if (!knocked) return;
    const before = this.#before[0]!.length;
    const taking = new Taking(channels, before + Math.round(QUIET_TO_S * this.#rate));
    for (let c = 0; c < channels; c++) {
      unroll(this.#before[c]!, this.#beforeAt, taking.filtered[c]!);
      unroll(this.#beforeRaw[c]!, this.#beforeAt, taking.raw[c]!);
    }
    taking.frames = before;
    this.#taking = taking;
  }

  #take(samples: readonly Float32Array[], i: number): Tap | null {
    const taking = this.#taking!;
    for (let c = 0; c < this.#filters.length; c++) {
      taking.filtered[c]![taking.frames] = this.#scratch[c]![i]!;
      taking.raw[c]![taking.frames] = samples[c]![i]!;
    }
    if (++taking.frames < taking.filtered[0]!.length) return null;
    this.#taking = null;
    return this.#judge(taking);
  }

  #judge(taking: Taking): Tap | null {
    const at = (s: number): number => this.#before[0]!.length + Math.round(s * this.#rate);
    const knock = at(KNOCK_S);
    const calm = Math.round(BEFORE_S * this.#rate * 0.75);
    const arrivals = taking.filtered.map((filtered, c) => {
      const peak = largest(filtered.subarray(0, knock));
      const least = Math.max(ARRIVAL_SHARE * peak, ARRIVAL_OVER_NOISE * this.#noise[c]!.level);
      const first = filtered.findIndex((x, i) => i < knock && Math.abs(x) >= least);
      return first < 0 ? knock : first;
    });
    const firstFelt = Math.min(...arrivals);
    const channels = taking.filtered.map((filtered, c) => {
      const raw = taking.raw[c]!;
      const mean = raw.subarray(0, calm).reduce((sum, x) => sum + x, 0) / calm;
      const peak = largest(filtered.subarray(0, knock));
      const noise = Math.max(this.#noise[c]!.level, 1e-7);
      return {
        peak,
        rise_db: 20 * Math.log10(Math.max(peak, 1e-9) / noise),
        after_s: (arrivals[c]! - firstFelt) / this.#rate,
        waveform: Float64Array.from(raw.subarray(0, knock), (x) => x - mean),
        clipped: largest(raw.subarray(0, knock)) >= CLIPPED,
      };
    });
    const most = channels.reduce((best, x, c) => (x.rise_db > channels[best]!.rise_db ? c : best), 0);
    const after = largest(taking.filtered[most]!.subarray(at(QUIET_FROM_S), at(QUIET_TO_S)));
    const quiet = 20 * Math.log10(channels[most]!.peak / Math.max(after, 1e-9)) >= QUIET_DB;
    return quiet ? { channels } : null;
  }
}

/** Writes a ring's content to the front of `into`, the oldest value first. */
function unroll(ring: Float64Array, oldest: number, into: Float64Array): void {
  into.set(ring.subarray(oldest));
  into.set(ring.subarray(0, oldest), ring.length - oldest);
}

function largest(values: Float64Array): number {
  let size = 0;
  for (const x of values) {
    const magnitude = x < 0 ? -x : x;
    if (magnitude > size) size = magnitude;
  }
  return size;
}
