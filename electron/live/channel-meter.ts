import type { Band, Fault } from '../../shared/contract/live.ts';
import { BANDS } from '../../shared/contract/live.ts';
import { butterworthBandpass, SosFilter } from '../../shared/dsp/sos.ts';

/** IEC 61672-1 time weighting F: quick enough for the eye, slow enough to be read. */
const TIME_CONSTANT_S = 0.125;
/** Two or more samples in a row at the end of the scale are a cut-off peak, one may be a true one. */
const CLIP_LEVEL = 0.999;
const CLIP_RUN = 3;
/** A cut-off peak is worth seeing for longer than it lasts. */
const CLIP_SHOWN_S = 2;
/** Below one step of a 16-bit converter over a whole second there is no pickup at the other end. */
const DEAD_RMS = 10 ** (-96 / 20);
/** A mean of more than one hundredth of full scale eats headroom and says that something is leaking. */
const OFFSET_MEAN = 0.01;

/** Filters for a band: Butterworth, second order at each edge, as gentle as a time weighting asks for. */
const bandFilter = (band: Band, sampleRate_Hz: number): SosFilter => {
  const { low_Hz, high_Hz } = BANDS[band];
  return new SosFilter(
    butterworthBandpass(2, low_Hz, Math.min(high_Hz, 0.45 * sampleRate_Hz), sampleRate_Hz),
  );
};

/** Sum of squares and highest magnitude of a stretch. */
class Stretch {
  squares = 0;
  peak = 0;
  frames = 0;

  add(squares: number, peak: number, frames: number): void {
    this.squares += squares;
    if (peak > this.peak) this.peak = peak;
    this.frames += frames;
  }

  rms(): number {
    return this.frames ? Math.sqrt(this.squares / this.frames) : 0;
  }

  clear(): void {
    this.squares = 0;
    this.peak = 0;
    this.frames = 0;
  }
}

/**
 * Follows one channel: level in the chosen band with time weighting F, peak and its hold, crest factor, and what
 * can be wrong with the lead. Beside the band that is shown, every whole second is kept over the full band, so that
 * what is recorded does not depend on what was looked at.
 */
export class ChannelMeter {
  /** Highest magnitude since `resetPeak`, in the band that is shown. */
  peakHold = 0;
  /** Peak over RMS of the last whole second; 0 in silence. */
  crest = 0;
  readonly #sampleRate_Hz: number;
  readonly #fullBand: SosFilter;
  #shownBand: SosFilter | null = null;
  #meanSquare = 0;
  readonly #sincePublished = new Stretch();
  readonly #shownSecond = new Stretch();
  readonly #recordedSecond = new Stretch();
  readonly #raw = new Stretch();
  #rawSum = 0;
  #clipRun = 0;
  #clipShown_frames = 0;
  #dead = false;
  #offset = false;
  #scratch = new Float64Array(0);

  constructor(sampleRate_Hz: number, band: Band = 'full') {
    this.#sampleRate_Hz = sampleRate_Hz;
    this.#fullBand = bandFilter('full', sampleRate_Hz);
    this.setBand(band);
  }

  setBand(band: Band): void {
    this.#shownBand = band === 'full' ? null : bandFilter(band, this.#sampleRate_Hz);
    this.resetPeak();
  }

  resetPeak(): void {
    this.peakHold = 0;
  }

  feed(samples: Float32Array, frames: number): void {
    this.#inspectRaw(samples, frames);
    if (this.#scratch.length < frames) this.#scratch = new Float64Array(frames);
    const filtered = this.#scratch;

    this.#fullBand.process(samples, filtered, frames);
    this.#measure(filtered, frames, this.#recordedSecond);
    if (this.#shownBand) this.#shownBand.process(samples, filtered, frames);
    const before = this.#sincePublished.squares;
    this.#measure(filtered, frames, this.#sincePublished);
    const squares = this.#sincePublished.squares - before;

    const keep = Math.exp(-frames / (this.#sampleRate_Hz * TIME_CONSTANT_S));
    this.#meanSquare = keep * this.#meanSquare + (1 - keep) * (squares / frames);
  }

  /** Level with time weighting F in the band that is shown. */
  get rms(): number {
    return Math.sqrt(this.#meanSquare);
  }

  /** Highest magnitude since the call before; starts a new stretch. */
  takePeak(): number {
    const { peak, squares, frames } = this.#sincePublished;
    if (peak > this.peakHold) this.peakHold = peak;
    this.#shownSecond.add(squares, peak, frames);
    if (this.#shownSecond.frames >= this.#sampleRate_Hz) {
      const rms = this.#shownSecond.rms();
      this.crest = rms > 0 ? this.#shownSecond.peak / rms : 0;
      this.#shownSecond.clear();
    }
    this.#sincePublished.clear();
    return peak;
  }

  /** RMS and peak over the full band since the call before; call it once a second. */
  takeSecond(): { rms: number; peak: number } {
    const second = { rms: this.#recordedSecond.rms(), peak: this.#recordedSecond.peak };
    this.#recordedSecond.clear();
    return second;
  }

  /** What is wrong with the lead or the converter, as far as one channel alone can tell. */
  faults(): Fault[] {
    const faults: Fault[] = [];
    if (this.#clipShown_frames > 0) faults.push('clipped');
    if (this.#dead) faults.push('dead');
    if (this.#offset) faults.push('offset');
    return faults;
  }

  #measure(samples: Float64Array, frames: number, into: Stretch): void {
    let squares = 0;
    let peak = 0;
    for (let i = 0; i < frames; i++) {
      const x = samples[i]!;
      squares += x * x;
      const magnitude = x < 0 ? -x : x;
      if (magnitude > peak) peak = magnitude;
    }
    into.add(squares, peak, frames);
  }

  #inspectRaw(samples: Float32Array, frames: number): void {
    let sum = 0;
    let squares = 0;
    let run = this.#clipRun;
    let clipped = false;
    for (let i = 0; i < frames; i++) {
      const x = samples[i]!;
      sum += x;
      squares += x * x;
      run = x >= CLIP_LEVEL || x <= -CLIP_LEVEL ? run + 1 : 0;
      if (run >= CLIP_RUN) clipped = true;
    }
    this.#clipRun = run;
    this.#clipShown_frames = clipped
      ? CLIP_SHOWN_S * this.#sampleRate_Hz
      : Math.max(0, this.#clipShown_frames - frames);
    this.#rawSum += sum;
    this.#raw.add(squares, 0, frames);
    if (this.#raw.frames < this.#sampleRate_Hz) return;
    const mean = this.#rawSum / this.#raw.frames;
    const variance = Math.max(0, this.#raw.squares / this.#raw.frames - mean * mean);
    this.#dead = Math.sqrt(variance) < DEAD_RMS;
    this.#offset = Math.abs(mean) > OFFSET_MEAN;
    this.#raw.clear();
    this.#rawSum = 0;
  }
}
