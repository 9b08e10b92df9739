/** Taps on either side of the point that is interpolated. */
const HALF_TAPS = 16;
const PHASES = 256;
/** Kaiser window, about 80 dB of stopband for the interpolation filter. */
const KAISER_BETA = 8;
/** Pass band as a share of the lower of the two Nyquist frequencies. */
const ROLL_OFF = 0.9;

const MIN_TARGET_S = 0.02;
const MAX_TARGET_S = 0.04;
/** The queue is made longer by this each time it ran empty, and shorter again while it does not. */
const TARGET_STEP_S = 0.005;
const TARGET_DECAY_PER_S = 0.0001;
/** More than this above the target is a backlog, and is skipped. */
const MAX_EXCESS_S = 0.04;
/** Clocks differ by some 0.01 %; half a percent, a twelfth of a semitone, only works off a backlog. */
const MAX_TRIM = 0.005;
const TRIM_PER_S = 0.5;
const FILL_SMOOTHING_S = 0.5;
const FADE_S = 0.005;

/** Modified Bessel function of order zero, by its power series. */
function bessel0(x: number): number {
  let term = 1;
  let sum = 1;
  for (let k = 1; term > 1e-12 * sum; k++) {
    term *= (x / (2 * k)) ** 2;
    sum += term;
  }
  return sum;
}

/** Rows of a windowed sinc for `PHASES` + 1 fractions of a sample, each normalised to unit gain. */
function sincTable(cutoff: number): Float32Array[] {
  return Array.from({ length: PHASES + 1 }, (_, phase) => {
    const row = new Float32Array(2 * HALF_TAPS);
    let sum = 0;
    for (let k = 0; k < row.length; k++) {
      const x = k - HALF_TAPS + 1 - phase / PHASES;
      const sinc = x === 0 ? cutoff : Math.sin(Math.PI * cutoff * x) / (Math.PI * x);
      const window = bessel0(KAISER_BETA * Math.sqrt(Math.max(0, 1 - (x / HALF_TAPS) ** 2)));
      row[k] = sinc * window;
      sum += row[k]!;
    }
    return row.map((v) => v / sum);
  });
}

/**
 * Joins two clocks: mono samples are pushed as capture delivers them and pulled as the output asks for them.
 * A windowed-sinc interpolator converts the rate and is trimmed by up to 0.5 % so that the queue stays at its
 * target, which is 20 ms and grows for a while, up to 40 ms, when the queue has run empty.
 */
export class PlayQueue {
  /** How often the queue ran empty while it played. */
  starved = 0;
  readonly #inRate: number;
  readonly #ratio: number;
  readonly #table: Float32Array[];
  readonly #ring: Float32Array;
  #written = 0;
  /** Place of the next output sample on the input's time line. */
  #at = 0;
  #target_s = MIN_TARGET_S;
  #smoothFill_s = MIN_TARGET_S;
  #playing = false;
  #gain = 0;
  #last = 0;

  constructor(inRate_Hz: number, outRate_Hz: number) {
    this.#inRate = inRate_Hz;
    this.#ratio = inRate_Hz / outRate_Hz;
    this.#table = sincTable(ROLL_OFF * Math.min(1, outRate_Hz / inRate_Hz));
    this.#ring = new Float32Array(inRate_Hz);
  }

  /** Samples that wait, in seconds. */
  get fill_s(): number {
    return (this.#written - HALF_TAPS - this.#at) / this.#inRate;
  }

  push(samples: Float32Array): void {
    const size = this.#ring.length;
    for (let i = 0; i < samples.length; i++) this.#ring[(this.#written + i) % size] = samples[i]!;
    this.#written += samples.length;
    if (this.fill_s > this.#target_s + MAX_EXCESS_S) {
      this.#at = this.#written - HALF_TAPS - Math.round(this.#target_s * this.#inRate);
      this.#smoothFill_s = this.#target_s;
      this.#gain = 0;
    }
  }

  /** Fills `out` with the next samples at the output's rate, with silence when there are none. */
  pull(out: Float32Array): void {
    if (!this.#playing && this.fill_s >= this.#target_s) {
      this.#playing = true;
      this.#gain = 0;
      this.#smoothFill_s = this.#target_s;
    }
    const step = this.#ratio * (1 + this.#trim(out.length));
    const size = this.#ring.length;
    const fadeStep = this.#ratio / (FADE_S * this.#inRate);
    for (let i = 0; i < out.length; i++) {
      const whole = Math.floor(this.#at);
      if (this.#playing && whole + HALF_TAPS >= this.#written) {
        this.#playing = false;
        this.starved++;
        this.#target_s = Math.min(MAX_TARGET_S, this.#target_s + TARGET_STEP_S);
      }
      if (!this.#playing) {
        // A short decay instead of a step, so that a pause does not click.
        this.#last *= 0.98;
        out[i] = this.#last;
        continue;
      }
      const row = this.#table[Math.round((this.#at - whole) * PHASES)]!;
      let sum = 0;
      for (let k = 0, j = whole - HALF_TAPS + 1; k < row.length; k++, j++)
        if (j >= 0) sum += row[k]! * this.#ring[j % size]!;
      this.#gain = Math.min(1, this.#gain + fadeStep);
      out[i] = this.#last = sum * this.#gain;
      this.#at += step;
    }
  }

  #trim(frames: number): number {
    if (!this.#playing) return 0;
    const took_s = (frames * this.#ratio) / this.#inRate;
    this.#target_s = Math.max(MIN_TARGET_S, this.#target_s - TARGET_DECAY_PER_S * took_s);
    const weight = Math.min(1, took_s / FILL_SMOOTHING_S);
    this.#smoothFill_s += weight * (this.fill_s - this.#smoothFill_s);
    const trim = TRIM_PER_S * (this.#smoothFill_s - this.#target_s);
    return Math.max(-MAX_TRIM, Math.min(MAX_TRIM, trim));
  }
}
