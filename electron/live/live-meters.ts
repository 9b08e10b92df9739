import type { Band, Levels } from '../../shared/contract/live.ts';
import { ChannelMeter } from './channel-meter.ts';

/** The meters of all channels; one `Levels` message at a time. */
export class LiveMeters {
  readonly #meters: ChannelMeter[];

  constructor(channels: number, sampleRate_Hz: number, band: Band) {
    this.#meters = Array.from({ length: channels }, () => new ChannelMeter(sampleRate_Hz, band));
  }

  setBand(band: Band): void {
    for (const meter of this.#meters) meter.setBand(band);
  }

  resetPeaks(): void {
    for (const meter of this.#meters) meter.resetPeak();
  }

  /** @param samples one array per meter, `frames` long at least */
  feed(samples: readonly Float32Array[], frames: number): void {
    for (let c = 0; c < this.#meters.length; c++) this.#meters[c]!.feed(samples[c]!, frames);
  }

  /** Levels of the stretch since the call before. */
  take(): Pick<Levels, 'rms' | 'peak' | 'peakHold' | 'crest' | 'faults'> {
    const peak = this.#meters.map((meter) => meter.takePeak());
    return {
      peak,
      rms: this.#meters.map((meter) => meter.rms),
      peakHold: this.#meters.map((meter) => meter.peakHold),
      crest: this.#meters.map((meter) => meter.crest),
      faults: this.#meters.map((meter) => meter.faults()),
    };
  }

  /** RMS and peak of every channel over the full band since the call before. */
  takeSecond(): { rms: Float32Array; peak: Float32Array } {
    const seconds = this.#meters.map((meter) => meter.takeSecond());
    return {
      rms: Float32Array.from(seconds, (s) => s.rms),
      peak: Float32Array.from(seconds, (s) => s.peak),
    };
  }
}
