import { StreamingDecimator, USABLE_BAND } from '../../shared/dsp/resample.ts';

/** Gear meshes, firing, wheels and mains lie below about 2.3 kHz; a lower rate makes the work on them light. */
const TARGET_RATE_HZ = 6000;

/** All channels at a rate that is just high enough for orders and hum, block by block. */
export class DecimatedChannels {
  readonly rate_Hz: number;
  /** Up to here the band is flat. */
  readonly usable_Hz: number;
  /** By how much the output is late. */
  readonly delay_s: number;
  /** The samples of the last block, `frames` of them valid in each. */
  readonly channels: Float64Array[];
  frames = 0;
  readonly #decimators: StreamingDecimator[];

  constructor(channels: number, sampleRate_Hz: number) {
    const factor = 2 ** Math.max(0, Math.floor(Math.log2(sampleRate_Hz / TARGET_RATE_HZ)));
    this.rate_Hz = sampleRate_Hz / factor;
    this.usable_Hz = USABLE_BAND * this.rate_Hz;
    this.#decimators = Array.from({ length: channels }, () => new StreamingDecimator(factor));
    this.delay_s = this.#decimators[0]?.delay_s(sampleRate_Hz) ?? 0;
    this.channels = Array.from({ length: channels }, () => new Float64Array(0));
  }

  feed(samples: readonly Float32Array[], frames: number): void {
    for (const [c, decimator] of this.#decimators.entries()) {
      if (this.channels[c]!.length < frames) this.channels[c] = new Float64Array(frames);
      this.frames = decimator.process(samples[c]!.subarray(0, frames), this.channels[c]!);
    }
  }
}
