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
/** Standard deviation of rounding to whole km/h, as the bus does it: 1/√12. */
const WHOLE_KM_H_ERROR = 1 / Math.sqrt(12);
/** A link that has been silent for longer tells nothing about the speed now. */
const READING_VALID_S = 3;
const HIGHEST_KM_H = 400;

/** Timed readings, the most trusted first: those that belong to the samples, then the finer of the two links. */
const READING_SOURCES = ['readings', 'satellite', 'bus'] as const;
type ReadingSource = (typeof READING_SOURCES)[number];

/**
 * One speed for the whole session from whichever source speaks: a tacho before timed readings, and those before
 * the speed set by hand. Beside it the engine speed, which only the bus tells.
 */
export class SpeedInput {
  #hand_km_h: number | null = null;
  #tacho_km_h: number | null = null;
  readonly #readings = new Map<ReadingSource, { km_h: number | null; at_s: number }>();
  #engine: { rpm: number; at_s: number } | null = null;

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

  setReading(from: ReadingSource, km_h: number | null, at_s: number): void {
    this.#readings.set(from, { km_h, at_s });
  }

  setEngine(rpm: number, at_s: number): void {
    this.#engine = { rpm, at_s };
  }

  /** Another source of samples begins: nothing that was told for the last one holds for it. */
  clear(): void {
    this.#tacho_km_h = null;
    this.#readings.clear();
    this.#engine = null;
  }

  read(now_s: number): SpeedReading {
    if (this.#tacho_km_h !== null) {
      return { from: 'tacho', km_h: this.#tacho_km_h, relativeError: TACHO_RELATIVE_ERROR };
    }
    for (const from of READING_SOURCES) {
      const reading = this.#readings.get(from);
      if (reading && reading.km_h !== null && now_s - reading.at_s <= READING_VALID_S) {
        const { km_h } = reading;
        const rounding = from === 'bus' ? WHOLE_KM_H_ERROR / Math.max(1, km_h) : 0;
        return { from, km_h, relativeError: Math.hypot(READINGS_RELATIVE_ERROR, rounding) };
      }
    }
    return { from: 'hand', km_h: this.#hand_km_h, relativeError: HAND_RELATIVE_ERROR };
  }

  engine_rpm(now_s: number): number | null {
    const engine = this.#engine;
    return engine && now_s - engine.at_s <= READING_VALID_S ? engine.rpm : null;
  }
}
