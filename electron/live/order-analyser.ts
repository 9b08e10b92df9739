import type { Block } from '../../native/capture/capture-source.ts';
import type { BundleChannel, VehicleSpec } from '../../shared/bundle/visit.ts';
import type { Orders } from '../../shared/contract/live.ts';
import { type OrderLine, type PartOrders, partOrders } from '../../shared/driveline/orders.ts';
import { roadSpeed_km_h, wheelHz } from '../../shared/driveline/wheelSpeed.ts';
import { nextPowerOfTwo, realFft } from '../../shared/dsp/fft.ts';
import { resampleToAngle } from '../../shared/dsp/order-track.ts';
import { geared, type ShaftMotion } from '../../shared/dsp/speed-motion.ts';
import { TachoTracker } from '../../shared/dsp/tacho.ts';
import { hann } from '../../shared/dsp/windows.ts';
import type { DecimatedChannels } from './decimated-channels.ts';
import type { SpeedReading } from './speed-input.ts';

/** Samples at the decimated rate, about 1.4 s: parts neighbouring orders in town, and follows the road. */
const WINDOW = 8192;
/** All channels are analysed once in this time, a few with every block, so that no block takes long. */
const CYCLE_S = 0.25;
/** Bins on either side of a line that belong to it under a Hann window. */
const MAIN_LOBE_BINS = 2;
const HANN_NOISE_BANDWIDTH_BINS = 1.5;
/** Orders drawn, and points that a screen can show. */
const DRAWN_ORDERS = 100;
const DRAWN_POINTS = 800;
/** Turns slower than this are walking pace, where nothing can be told. */
const LOWEST_RATE_HZ = 1;

/** The last `WINDOW` samples of a channel, decimated. */
class Recent {
  readonly samples = new Float64Array(WINDOW);
  #next = 0;
  filled = 0;

  push(block: Float64Array, frames: number): void {
    for (let i = 0; i < frames; i++) {
      this.samples[this.#next] = block[i]!;
      this.#next = (this.#next + 1) % this.samples.length;
    }
    this.filled = Math.min(this.samples.length, this.filled + frames);
  }

  /** Oldest first. */
  copyTo(out: Float64Array): void {
    const tail = this.samples.length - this.#next;
    out.set(this.samples.subarray(this.#next), 0);
    out.set(this.samples.subarray(0, this.#next), tail);
  }
}

/** A spectrum whose bins are multiples of a shaft's turning rate. */
interface Spectrum {
  readonly step: number;
  /** RMS of a sine on the bin, squared. */
  readonly power: Float64Array;
  /** Bins that can be trusted; above lies the slope of the anti-alias filter. */
  readonly bins: number;
  /** Bins of this spectrum to a bin of an unpadded one. */
  readonly padding: number;
}

export interface OrderAnalyserOptions {
  readonly sampleRate_Hz: number;
  /** The channels that are analysed, in the order in which results are given. */
  readonly channels: readonly BundleChannel[];
  readonly vehicle: VehicleSpec | null;
  /** The same channels in the same order, fed before this analyser. */
  readonly decimated: DecimatedChannels;
}

/**
 * Running order analysis of all channels: the energy of every known line of the driveline, and the order spectrum of
 * one channel. With a tacho the recent signal is resampled to the shaft's angle (computed order tracking); with a
 * speed that is only read or keyed in, the rate is taken as steady over the window and lines are taken as wide as
 * the speed is uncertain.
 */
export class OrderAnalyser {
  readonly lines: readonly OrderLine[];
  /** RMS of each line on each channel, ratio of full scale; NaN where it cannot be told. */
  readonly lineRms: Float32Array[];
  readonly #options: OrderAnalyserOptions;
  readonly #recent: (Recent | null)[];
  readonly #tacho: { tracker: TachoTracker; shaft: string; index: number } | null;
  readonly #window = hann(WINDOW);
  readonly #frame = new Float64Array(WINDOW);
  #orders: PartOrders | null;
  #gearRatio: number | null = null;
  #frames = 0;
  #nextChannel = 0;
  #due = 0;
  #motion: ShaftMotion | null = null;

  constructor(options: OrderAnalyserOptions) {
    this.#options = options;
    this.#recent = options.channels.map((c) => (c.role === 'vibration' ? new Recent() : null));
    const tacho = options.channels.find((c) => c.role === 'tacho');
    this.#tacho =
      tacho?.role === 'tacho'
        ? {
            tracker: new TachoTracker(
              options.sampleRate_Hz,
              tacho.pulsesPerRev,
              WINDOW / options.decimated.rate_Hz + 1,
            ),
            shaft: tacho.shaft.startsWith('wheel') ? 'wheel' : tacho.shaft,
            index: tacho.channel - 1,
          }
        : null;
    this.#orders = options.vehicle ? partOrders(options.vehicle) : null;
    this.lines = this.#orders?.lines ?? [];
    this.lineRms = this.lines.map(() => new Float32Array(options.channels.length).fill(Number.NaN));
  }

  /** The engine's lines move against the wheel with the gear. */
  setGearRatio(gearRatio: number | null): void {
    if (!this.#options.vehicle || gearRatio === this.#gearRatio) return;
    this.#gearRatio = gearRatio;
    this.#orders = partOrders(this.#options.vehicle, gearRatio);
  }

  /** Road speed by the tacho, or null without one or at standstill. */
  get tachoSpeed_km_h(): number | null {
    const circumference = this.#options.vehicle?.rollingCircumference_m;
    const hz = this.#tacho?.tracker.hz;
    const turns = this.#tachoTurnsPerWheelTurn();
    return hz == null || !circumference || turns === null ? null : roadSpeed_km_h(hz / turns, circumference);
  }

  feed(block: Block): void {
    // Only what was fed: the tacho and the windows know nothing of lost frames either.
    this.#frames += block.frames;
    if (this.#tacho) this.#tacho.tracker.push(block.channels[this.#tacho.index]!.subarray(0, block.frames));
    const { channels, frames } = this.#options.decimated;
    for (const [i, recent] of this.#recent.entries()) recent?.push(channels[i]!, frames);
  }

  /**
   * Does the share of the work that is due after a block.
   * @param heard entry of the channel list whose spectrum is wanted
   * @returns a message when every channel has been analysed anew
   */
  step(frames: number, speed: SpeedReading, heard: number, at_s: number): Orders | null {
    const count = this.#options.channels.length;
    this.#due += (count * frames) / (CYCLE_S * this.#options.sampleRate_Hz);
    while (this.#due >= 1) {
      this.#due -= 1;
      if (this.#nextChannel === 0) this.#motion = this.#tacho ? this.#tachoMotion() : null;
      this.#analyse(this.#nextChannel, speed);
      this.#nextChannel = (this.#nextChannel + 1) % count;
      if (this.#nextChannel === 0) return this.#message(speed, heard, at_s);
    }
    return null;
  }

  #analyse(entry: number, speed: SpeedReading): void {
    const spectrum = this.#recent[entry] ? this.#spectrum(entry, speed) : null;
    const width = this.#tacho ? 0 : 2 * speed.relativeError;
    for (const [l, line] of this.lines.entries()) {
      const order = this.#orderAtReference(this.#orders!.lines[l] ?? line);
      this.lineRms[l]![entry] = spectrum && order !== null ? lineRms(spectrum, order, width) : Number.NaN;
    }
  }

  /** Power over orders of the reference shaft; null while speed or signal are missing. */
  #spectrum(entry: number, speed: SpeedReading): Spectrum | null {
    const recent = this.#recent[entry]!;
    if (recent.filled < recent.samples.length) return null;
    recent.copyTo(this.#frame);
    if (this.#tacho) return this.#trackedSpectrum();
    const rate = this.#wheelRate(speed);
    if (rate === null || rate < LOWEST_RATE_HZ) return null;
    const power = powerSpectrum(this.#frame, this.#window);
    const { rate_Hz, usable_Hz } = this.#options.decimated;
    const step = rate_Hz / WINDOW / rate;
    return { step, power, bins: Math.floor(usable_Hz / rate / step), padding: 1 };
  }

  /** The recent signal over equal steps of the reference shaft's angle. */
  #trackedSpectrum(): Spectrum | null {
    if (!this.#motion) return null;
    const { rate_Hz, usable_Hz } = this.#options.decimated;
    const end_s = this.#frames / this.#options.sampleRate_Hz - this.#options.decimated.delay_s;
    const start_s = end_s - this.#frame.length / rate_Hz;
    const motion = { ...this.#motion, t_s: this.#motion.t_s.map((t) => t - start_s) };
    const slowest = motion.hz.reduce((least, hz) => Math.min(least, hz), Number.POSITIVE_INFINITY);
    if (slowest < LOWEST_RATE_HZ) return null;
    // Enough samples a turn for everything that the decimated signal holds at the slowest moment of the window.
    const samplesPerTurn = Math.min(1024, Math.max(16, 2 ** Math.ceil(Math.log2(rate_Hz / slowest))));
    const angle = resampleToAngle(this.#frame, rate_Hz, motion, samplesPerTurn);
    const turns = angle ? Math.floor(angle.samples.length / samplesPerTurn) : 0;
    if (!angle || turns < 4) return null;
    const length = turns * samplesPerTurn;
    const power = powerSpectrum(angle.samples.subarray(0, length), hann(length));
    const size = 2 * (power.length - 1);
    const step = samplesPerTurn / size;
    const fastest = motion.hz.reduce((most, hz) => Math.max(most, hz), 0);
    const bins = Math.floor(usable_Hz / fastest / step);
    return { step, power, bins, padding: size / length };
  }

  #wheelRate(speed: SpeedReading): number | null {
    const circumference = this.#options.vehicle?.rollingCircumference_m;
    return speed.km_h === null || !circumference ? null : wheelHz(speed.km_h, circumference);
  }

  #tachoTurnsPerWheelTurn(): number | null {
    if (!this.#tacho) return null;
    if (this.#tacho.shaft === 'wheel') return 1;
    return this.#orders?.turnsPerWheelTurn[this.#tacho.shaft as 'propshaft' | 'engine'] ?? null;
  }

  /** Orders are of the wheel where the tacho's shaft can be converted to it, of the tacho's shaft otherwise. */
  #referenceShaft(): string {
    return this.#tacho && this.#tachoTurnsPerWheelTurn() === null ? this.#tacho.shaft : 'wheel';
  }

  #tachoMotion(): ShaftMotion | null {
    const motion = this.#tacho!.tracker.hz === null ? null : this.#tacho!.tracker.motion();
    const turns = this.#tachoTurnsPerWheelTurn();
    return motion && turns !== null ? geared(motion, 1 / turns) : motion;
  }

  #orderAtReference(line: OrderLine): number | null {
    const shaft = this.#referenceShaft();
    if (shaft === 'wheel') return line.orderAtWheel;
    return line.shaft === shaft ? line.order : null;
  }

  #message(speed: SpeedReading, heard: number, at_s: number): Orders {
    const shaft = this.#referenceShaft();
    const tachoRate = this.#motion ? this.#motion.hz[this.#motion.hz.length - 1]! : null;
    const spectrum = heard >= 0 && this.#recent[heard] ? this.#spectrum(heard, speed) : null;
    return {
      at_s,
      shaft,
      shaftRate_Hz: this.#tacho ? tachoRate : this.#wheelRate(speed),
      channel: heard >= 0 ? this.#options.channels[heard]!.channel : 0,
      spectrum: spectrum ? drawn(spectrum) : { first: 0, step: 1, rms: [] },
      lines: this.lines.map((line, l) => ({
        part: line.part,
        label: line.label,
        shaft: line.shaft,
        order: line.order,
        orderAtReference: this.#orderAtReference(this.#orders!.lines[l] ?? line),
        rms: Array.from(this.lineRms[l]!, (value) => (Number.isNaN(value) ? null : value)),
      })),
    };
  }
}

/** Squared RMS of a sine on each bin; padded with silence to a power of two. */
function powerSpectrum(samples: Float64Array, window: Float64Array): Float64Array {
  const fft = realFft(nextPowerOfTwo(samples.length));
  const windowed = new Float64Array(fft.size);
  let gain = 0;
  for (let i = 0; i < samples.length; i++) {
    windowed[i] = samples[i]! * window[i]!;
    gain += window[i]!;
  }
  const transformed = fft.forward(windowed);
  const power = new Float64Array(fft.size / 2 + 1);
  for (let k = 0; k < power.length; k++) {
    power[k] = (2 * (transformed[2 * k]! ** 2 + transformed[2 * k + 1]! ** 2)) / (gain * gain);
  }
  return power;
}

/** RMS within the main lobe of a line, widened by the relative uncertainty of the speed. */
function lineRms(spectrum: Spectrum, order: number, relativeWidth: number): number {
  const reach = Math.round((order * relativeWidth) / spectrum.step + MAIN_LOBE_BINS * spectrum.padding);
  const centre = Math.round(order / spectrum.step);
  if (centre + reach >= spectrum.bins) return Number.NaN;
  let power = 0;
  for (let k = Math.max(0, centre - reach); k <= centre + reach; k++) power += spectrum.power[k]!;
  return Math.sqrt(power / (HANN_NOISE_BANDWIDTH_BINS * spectrum.padding));
}

/** A spectrum of at most `DRAWN_POINTS`, the strongest bin of each stretch standing for it. */
function drawn(spectrum: Spectrum): Orders['spectrum'] {
  const bins = Math.min(spectrum.bins, Math.floor(DRAWN_ORDERS / spectrum.step));
  const stride = Math.max(1, Math.ceil(bins / DRAWN_POINTS));
  const rms: number[] = [];
  for (let k = 0; k + stride <= bins; k += stride) {
    let highest = 0;
    for (let i = k; i < k + stride; i++) highest = Math.max(highest, spectrum.power[i]!);
    rms.push(Math.sqrt(highest));
  }
  return { first: ((stride - 1) / 2) * spectrum.step, step: stride * spectrum.step, rms };
}
