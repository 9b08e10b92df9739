import type { BundleChannel } from '../../shared/bundle/visit.ts';
import { BANDS, type Band } from '../../shared/contract/live.ts';
import { butterworthBandpass, SosFilter } from '../../shared/dsp/sos.ts';

/** Long enough to be clickless, short enough that the key feels direct. */
const FADE_S = 0.02;
/**
 * What plays at full scale of the output at 0 dB gain. One figure for all pickups, so that two of different
 * sensitivity are as loud as they are strong: loudness is what the technician compares.
 */
const FULL_SCALE_SOUND_M_S2 = 100;

/** Raised cosine: the two weights add up to one, as it should be for channels that hear the same noise. */
const fadeIn = (progress: number): number => 0.5 - 0.5 * Math.cos(Math.PI * Math.min(1, progress));

/**
 * Makes the sound that the technician hears: one channel at a time, the same gain for all, cross-faded when the
 * channel, the band or the gain changes.
 */
export class ListeningMix {
  readonly #sampleRate_Hz: number;
  readonly #fadeFrames: number;
  #scales: number[] = [];
  #heard = 0;
  #fadingFrom: number | null = null;
  #channelFade = 0;
  #filter: SosFilter;
  #filterBefore: SosFilter | null = null;
  #bandFade = 0;
  #gain = 1;
  #gainNow = 1;
  #mixed = new Float64Array(0);
  #old = new Float64Array(0);
  #sound = new Float32Array(0);

  constructor(sampleRate_Hz: number, band: Band) {
    this.#sampleRate_Hz = sampleRate_Hz;
    this.#fadeFrames = Math.round(FADE_S * sampleRate_Hz);
    this.#filter = this.#bandFilter(band);
  }

  /** Sensitivities decide how loud a pickup plays; when one is unknown all play relative to full scale. */
  setChannels(channels: readonly BundleChannel[]): void {
    const pickups = channels.filter((c) => c.role === 'vibration');
    const known = pickups.every((c) => c.fullScale_m_s2 != null);
    this.#scales = [];
    for (const { channel, fullScale_m_s2 } of pickups) {
      this.#scales[channel - 1] = known ? fullScale_m_s2! / FULL_SCALE_SOUND_M_S2 : 1;
    }
  }

  hear(channel: number): void {
    const index = channel - 1;
    if (index === this.#heard) return;
    this.#fadingFrom = this.#heard;
    this.#heard = index;
    this.#channelFade = 0;
  }

  setBand(band: Band): void {
    this.#filterBefore = this.#filter;
    this.#filter = this.#bandFilter(band);
    this.#bandFade = 0;
  }

  setGain(gain_db: number): void {
    this.#gain = 10 ** (gain_db / 20);
  }

  /** The sound of a block; the array is reused by the next call. */
  render(channels: readonly Float32Array[], frames: number): Float32Array {
    if (this.#sound.length !== frames) {
      this.#sound = new Float32Array(frames);
      this.#mixed = new Float64Array(frames);
      this.#old = new Float64Array(frames);
    }
    this.#mixChannels(channels, frames);
    this.#filterBand(frames);
    // A slope over the block instead of a step keeps a change of gain clickless too.
    const slope = (this.#gain - this.#gainNow) / frames;
    for (let i = 0; i < frames; i++) {
      const x = this.#mixed[i]! * (this.#gainNow + slope * (i + 1));
      this.#sound[i] = Math.max(-1, Math.min(1, x));
    }
    this.#gainNow = this.#gain;
    return this.#sound;
  }

  #mixChannels(channels: readonly Float32Array[], frames: number): void {
    const now = channels[this.#heard];
    const scaleNow = this.#scales[this.#heard] ?? 1;
    const before = this.#fadingFrom === null ? undefined : channels[this.#fadingFrom];
    const scaleBefore = this.#fadingFrom === null ? 0 : (this.#scales[this.#fadingFrom] ?? 1);
    for (let i = 0; i < frames; i++) {
      let x = now ? now[i]! * scaleNow : 0;
      if (this.#fadingFrom !== null) {
        const weight = fadeIn((this.#channelFade + i + 1) / this.#fadeFrames);
        x = weight * x + (1 - weight) * (before ? before[i]! * scaleBefore : 0);
      }
      this.#mixed[i] = x;
    }
    this.#channelFade += frames;
    if (this.#channelFade >= this.#fadeFrames) this.#fadingFrom = null;
  }

  #filterBand(frames: number): void {
    if (this.#filterBefore) this.#filterBefore.process(this.#mixed, this.#old, frames);
    this.#filter.process(this.#mixed, this.#mixed, frames);
    if (!this.#filterBefore) return;
    for (let i = 0; i < frames; i++) {
      const weight = fadeIn((this.#bandFade + i + 1) / this.#fadeFrames);
      this.#mixed[i] = weight * this.#mixed[i]! + (1 - weight) * this.#old[i]!;
    }
    this.#bandFade += frames;
    if (this.#bandFade >= this.#fadeFrames) this.#filterBefore = null;
  }

  #bandFilter(band: Band): SosFilter {
    const { low_Hz, high_Hz } = BANDS[band];
    const top = Math.min(high_Hz, 0.45 * this.#sampleRate_Hz);
    return new SosFilter(butterworthBandpass(2, low_Hz, top, this.#sampleRate_Hz));
  }
}
