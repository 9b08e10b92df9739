/** Mains frequencies of the world. */
const MAINS_HZ = [50, 60] as const;
/** The fundamental and the harmonics that rectifiers and ground loops add. */
const HARMONICS = 5;
/** Two seconds part the mains from a wheel order that only passes by. */
const WINDOW_S = 2;
/** Three quarters of all that the lead brings: a healthy pickup in a workshop hears something else as well. */
const DOMINANT_SHARE = 0.75;
/** A tone that only happens to lie on a harmonic of the mains comes without its fundamental. */
const FUNDAMENTAL_SHARE = 0.1;
/** Below this there is nothing to hum; a dead lead has a flag of its own. */
const LOWEST_POWER = 10 ** (-90 / 10);

/** Single-bin Fourier sums at the mains harmonics (Goertzel's recursion), for one channel. */
class MainsBins {
  readonly #coefficients: Float64Array;
  readonly #state: Float64Array;

  constructor(sampleRate_Hz: number) {
    const frequencies = MAINS_HZ.flatMap((mains) =>
      Array.from({ length: HARMONICS }, (_, k) => mains * (k + 1)),
    );
    this.#coefficients = Float64Array.from(
      frequencies,
      (f) => 2 * Math.cos((2 * Math.PI * f) / sampleRate_Hz),
    );
    this.#state = new Float64Array(frequencies.length * 2);
  }

  feed(samples: Float64Array, frames: number): void {
    for (let f = 0; f < this.#coefficients.length; f++) {
      const c = this.#coefficients[f]!;
      let s1 = this.#state[2 * f]!;
      let s2 = this.#state[2 * f + 1]!;
      for (let i = 0; i < frames; i++) {
        const s0 = samples[i]! + c * s1 - s2;
        s2 = s1;
        s1 = s0;
      }
      this.#state[2 * f] = s1;
      this.#state[2 * f + 1] = s2;
    }
  }

  /** Mean square that either mains explains over `frames`: nothing where its fundamental is missing. Begins anew. */
  take(frames: number): number[] {
    const powers = MAINS_HZ.map((_, mains) => {
      const [fundamental = 0, ...harmonics] = Array.from({ length: HARMONICS }, (_, k) =>
        this.#meanSquare(mains * HARMONICS + k, frames),
      );
      const power = harmonics.reduce((sum, p) => sum + p, fundamental);
      return fundamental > FUNDAMENTAL_SHARE * power ? power : 0;
    });
    this.#state.fill(0);
    return powers;
  }

  #meanSquare(f: number, frames: number): number {
    const s1 = this.#state[2 * f]!;
    const s2 = this.#state[2 * f + 1]!;
    return (2 * (s1 * s1 + s2 * s2 - this.#coefficients[f]! * s1 * s2)) / (frames * frames);
  }
}

/**
 * Tells which leads bring mains hum rather than the vehicle: channels on which the mains and its harmonics hold most
 * of the power, two windows in a row. (Common practice; no standard.)
 */
export class HumWatch {
  readonly #sampleRate_Hz: number;
  readonly #bins: MainsBins[];
  readonly #sum: Float64Array;
  readonly #squares: Float64Array;
  readonly #windowsInARow: Uint8Array;
  #frames = 0;

  constructor(channels: number, sampleRate_Hz: number) {
    this.#sampleRate_Hz = sampleRate_Hz;
    this.#bins = Array.from({ length: channels }, () => new MainsBins(sampleRate_Hz));
    this.#sum = new Float64Array(channels);
    this.#squares = new Float64Array(channels);
    this.#windowsInARow = new Uint8Array(channels);
  }

  feed(samples: readonly Float64Array[], frames: number): void {
    for (const [c, bins] of this.#bins.entries()) {
      const x = samples[c]!;
      bins.feed(x, frames);
      let sum = 0;
      let squares = 0;
      for (let i = 0; i < frames; i++) {
        sum += x[i]!;
        squares += x[i]! * x[i]!;
      }
      this.#sum[c]! += sum;
      this.#squares[c]! += squares;
    }
    this.#frames += frames;
    if (this.#frames >= WINDOW_S * this.#sampleRate_Hz) this.#judge();
  }

  heard(channel: number): boolean {
    return this.#windowsInARow[channel]! >= 2;
  }

  #judge(): void {
    for (const [c, bins] of this.#bins.entries()) {
      const mean = this.#sum[c]! / this.#frames;
      const total = this.#squares[c]! / this.#frames - mean * mean;
      const hum = Math.max(...bins.take(this.#frames));
      const dominant = total > LOWEST_POWER && hum > DOMINANT_SHARE * total;
      this.#windowsInARow[c] = dominant ? Math.min(2, this.#windowsInARow[c]! + 1) : 0;
    }
    this.#sum.fill(0);
    this.#squares.fill(0);
    this.#frames = 0;
  }
}
