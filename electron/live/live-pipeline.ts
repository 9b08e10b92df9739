import type { Block } from '../../native/capture/capture-source.ts';
import type { BundleChannel, VehicleSpec } from '../../shared/bundle/visit.ts';
import type { OrderLine, RunSecond } from '../../shared/contract/garage.ts';
import type { Band, Levels, Orders } from '../../shared/contract/live.ts';
import { DecimatedChannels } from './decimated-channels.ts';
import { HumWatch } from './hum-watch.ts';
import { LiveMeters } from './live-meters.ts';
import { OrderAnalyser } from './order-analyser.ts';
import type { SpeedInput } from './speed-input.ts';

/** Often enough that a bar moves smoothly. */
const LEVELS_PER_S = 30;

export interface LivePipelineOptions {
  readonly sampleRate_Hz: number;
  readonly channels: readonly BundleChannel[];
  readonly vehicle: VehicleSpec | null;
  readonly gearRatio: number | null;
  readonly band: Band;
  readonly startsAt_s: number;
  readonly speed: SpeedInput;
  /** Number of the channel that is heard. */
  readonly heard: () => number | null;
  readonly onLevels: (levels: Levels) => void;
  readonly onOrders: (orders: Orders) => void;
  readonly onSecond: (second: Omit<RunSecond, 'second'>) => void;
}

/**
 * From blocks to messages: levels about 30 times a second, order energies about 4 times, one summary a second.
 * Everything happens within `feed`, on the caller's thread, in small even portions.
 */
export class LivePipeline {
  readonly meters: LiveMeters;
  readonly orderLines: readonly OrderLine[];
  readonly #options: LivePipelineOptions;
  readonly #decimated: DecimatedChannels;
  readonly #orders: OrderAnalyser;
  readonly #hum: HumWatch;
  /** The block's arrays in the order of the channel list. */
  readonly #picked: Float32Array[];
  #frame = 0;
  #sinceLevels = 0;
  #sinceSecond = 0;

  constructor(options: LivePipelineOptions) {
    this.#options = options;
    const { channels, sampleRate_Hz, vehicle } = options;
    this.meters = new LiveMeters(channels.length, sampleRate_Hz, options.band);
    this.#decimated = new DecimatedChannels(channels.length, sampleRate_Hz);
    this.#orders = new OrderAnalyser({ sampleRate_Hz, channels, vehicle, decimated: this.#decimated });
    this.#orders.setGearRatio(options.gearRatio);
    this.#hum = new HumWatch(channels.length, this.#decimated.rate_Hz);
    this.#picked = new Array<Float32Array>(channels.length);
    this.orderLines = this.#orders.lines.map(({ part, label, shaft, order }) => ({
      part,
      label,
      shaft,
      order,
    }));
  }

  setGearRatio(gearRatio: number | null): void {
    this.#orders.setGearRatio(gearRatio);
  }

  /** A recording begins: its first second begins now. */
  startSeconds(): void {
    this.#sinceSecond = 0;
    this.meters.takeSecond();
  }

  feed(block: Block, now_s: number): void {
    const { channels, sampleRate_Hz, speed } = this.#options;
    for (const [i, { channel }] of channels.entries()) this.#picked[i] = block.channels[channel - 1]!;
    this.meters.feed(this.#picked, block.frames);
    this.#decimated.feed(this.#picked, block.frames);
    this.#hum.feed(this.#decimated.channels, this.#decimated.frames);
    this.#orders.feed(block);
    speed.setTacho(this.#orders.tachoSpeed_km_h);

    const elapsed = block.gapFrames + block.frames;
    this.#frame = block.firstFrame + block.frames;
    this.#sinceLevels += elapsed;
    this.#sinceSecond += elapsed;
    const at_s = this.#options.startsAt_s + this.#frame / sampleRate_Hz;
    const reading = speed.read(now_s);

    if (this.#sinceLevels >= sampleRate_Hz / LEVELS_PER_S) {
      this.#sinceLevels %= sampleRate_Hz / LEVELS_PER_S;
      const levels = this.meters.take();
      for (const [i, faults] of levels.faults.entries()) if (this.#hum.heard(i)) faults.push('hum');
      this.#options.onLevels({ frame: this.#frame, at_s, speed_km_h: reading.km_h, ...levels });
    }
    const heard = channels.findIndex((c) => c.channel === this.#options.heard());
    const orders = this.#orders.step(block.frames, reading, heard, at_s);
    if (orders) this.#options.onOrders(orders);
    if (this.#sinceSecond >= sampleRate_Hz) {
      this.#sinceSecond -= sampleRate_Hz;
      this.#options.onSecond({
        speed_km_h: reading.km_h,
        ...this.meters.takeSecond(),
        orders: this.#lineEnergies(),
      });
    }
  }

  /** Channel-major, NaN where a line cannot be told. */
  #lineEnergies(): Float32Array {
    const channels = this.#options.channels.length;
    const lines = this.#orders.lineRms;
    const energies = new Float32Array(channels * lines.length);
    for (let c = 0; c < channels; c++) {
      for (const [l, values] of lines.entries()) energies[c * lines.length + l] = values[c]!;
    }
    return energies;
  }
}
