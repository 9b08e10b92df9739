import type { LiveState } from '../../shared/contract/live.ts';

/** Road speed during the run: what a screen shows and what the order lines are placed by. */
export interface SpeedReading {
  readonly from: LiveState['speed']['from'];
  readonly km_h: number | null;
  /** One standard deviation relative to the speed; how wide an order line must be taken. */
  readonly relativeError: number;
}

/** A passenger reads the dial to a few km/h and keys it in. */
const HAND_RELATIVE_ERROR = 0.02;
const TACHO_RELATIVE_ERROR = 0.001;
/** Dials, buses and satellites are late and 1-2 % off against the wheel. */
const READINGS_RELATIVE_ERROR = 0.015;
/** A link that has been silent for longer tells nothing about the speed now. */
const READING_VALID_S = 3;
const HIGHEST_KM_H = 400;

/**
 * One speed for the whole session from whichever source speaks: a tacho before timed readings, and those before
 * the speed set by hand.
 */
export class SpeedInput {
  #hand_km_h: number | null = null;
  #tacho_km_h: number | null = null;
  #reading: { from: 'readings' | 'satellite' | 'bus'; km_h: number | null; at_s: number } | null = null;

  set(km_h: number | null): void {
    this.#hand_km_h = km_h;
  }

  /** From standstill or no speed at all a nudge starts at zero. */
  nudge(step_km_h: number): void {
    const from = this.#hand_km_h ?? 0;
    this.#hand_km_h = Math.min(HIGHEST_KM_H, Math.max(0, from + step_km_h));
  }

  setTacho(km_h: number | null): void {
    this.#tacho_km_h = km_h;
  }

  setReading(from: 'readings' | 'satellite' | 'bus', km_h: number | null, at_s: number): void {
    this.#reading = { from, km_h, at_s };
  }

  clear(): void {
    this.#tacho_km_h = null;
    this.#reading = null;
  }

  read(now_s: number): SpeedReading {
    if (this.#tacho_km_h !== null) {
      return { from: 'tacho', km_h: this.#tacho_km_h, relativeError: TACHO_RELATIVE_ERROR };
    }
    const reading = this.#reading;
    if (reading && reading.km_h !== null && now_s - reading.at_s <= READING_VALID_S) {
      return { from: reading.from, km_h: reading.km_h, relativeError: READINGS_RELATIVE_ERROR };
    }
    return { from: 'hand', km_h: this.#hand_km_h, relativeError: HAND_RELATIVE_ERROR };
  }
}
