import type { EnvelopeSpectrum } from './envelope.ts';

/** Half width of the stretch whose median is the floor: this share of the frequency, and at least so many bins. */
const FLOOR_SHARE = 0.1;
const FLOOR_LEAST_RESOLUTIONS = 24;
/** Distance of two floor estimates; between them the floor is linear. */
const FLOOR_SPACING_RESOLUTIONS = 10;
/** Values per floor estimate. */
const FLOOR_VALUES = 120;

/** An envelope spectrum over its local median: bins of steady noise are then exponentially distributed. */
export class EnvelopeOverFloor {
  readonly spectrum: EnvelopeSpectrum;
  /** Floors at points of equal spacing on the axis. */
  readonly #floor: Float64Array;
  readonly #spacing: number;

  constructor(spectrum: EnvelopeSpectrum) {
    this.spectrum = spectrum;
    const { power, step, resolution } = spectrum;
    this.#spacing = Math.max(1, Math.round((FLOOR_SPACING_RESOLUTIONS * resolution) / step));
    this.#floor = new Float64Array(Math.ceil(power.length / this.#spacing) + 1);
    const lowest = Math.ceil((2 * resolution) / step);
    const values = new Float64Array(FLOOR_VALUES + 1);
    for (let i = 0; i < this.#floor.length; i++) {
      const centre = i * this.#spacing;
      const half = Math.max(FLOOR_SHARE * centre, (FLOOR_LEAST_RESOLUTIONS * resolution) / step);
      const from = Math.max(lowest, Math.floor(centre - half));
      const to = Math.min(power.length - 1, Math.ceil(centre + half));
      const stride = Math.max(1, (to - from) / FLOOR_VALUES);
      let count = 0;
      for (let k = from; k <= to && count < values.length; k += stride)
        values[count++] = power[Math.floor(k)]!;
      const some = values.subarray(0, count).sort();
      this.#floor[i] = some[count >> 1] ?? 0;
    }
  }

  /** Whether the spectrum reaches that far. */
  holds(frequency: number): boolean {
    return frequency > 0 && Math.round(frequency / this.spectrum.step) < this.spectrum.power.length;
  }

  /** Power over the local median; 0 outside and in silence. */
  ratio(frequency: number): number {
    if (!this.holds(frequency)) return 0;
    const k = Math.round(frequency / this.spectrum.step);
    const place = k / this.#spacing;
    const i = Math.floor(place);
    const floor = this.#floor[i]! + (place - i) * (this.#floor[i + 1]! - this.#floor[i]!);
    return floor > 0 ? this.spectrum.power[k]! / floor : 0;
  }

  /** Minus the logarithm of the probability that noise reaches this bin. */
  score(frequency: number): number {
    return Math.LN2 * this.ratio(frequency);
  }
}
