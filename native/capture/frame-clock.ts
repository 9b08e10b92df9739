/** Blocks are judged by the promptest of this long, for single ones may be late by some 60 ms. */
const WINDOW_S = 1;
/** More than this behind, for a whole window, is not lateness but loss. */
const LOSS_S = 0.03;
/** Sound clocks and the computer's differ by some 0.01 %; a steady drift of this much is no loss. */
const MAX_DRIFT = 500e-6;

/**
 * Counts frames against the monotonic clock, so that frames which never came are seen although nobody
 * reported them. All frames of a block are taken to have been captured just before the block arrived.
 */
export class FrameClock {
  /** Frames since the first block, those that were lost included. */
  frames = 0;
  readonly #rate: number;
  #origin_s: number | null = null;
  /** Lateness of a block is its arrival minus the time that its frames took; this is the usual one. */
  #usual_s = 0;
  /**
   * Counted too much when the stream was opened again, for its first block was later than usual. It is written by then;
   * the next gap is told shorter by it, so that a day of interruptions does not add up.
   */
  #surplus_s = 0;
  #justResumed = false;
  #window_s = Number.POSITIVE_INFINITY;
  #windowEnds_s = 0;

  constructor(sampleRate_Hz: number) {
    this.#rate = sampleRate_Hz;
  }

  /**
   * Counts a block of an unbroken stream.
   * @param known frames that the device reported as lost before it
   * @returns frames lost before this block
   */
  arrived(frames: number, at_s: number, known = 0): number {
    if (this.#origin_s === null) this.#begin(frames, at_s);
    this.frames += known;
    const lateness = at_s - this.#origin_s! - (this.frames + frames) / this.#rate;
    // An early block shows that those before it were late.
    if (lateness < this.#usual_s) {
      if (this.#justResumed) this.#surplus_s += this.#usual_s - lateness;
      this.#usual_s = lateness;
    }
    this.#window_s = Math.min(this.#window_s, lateness);
    let lost = known;
    if (at_s >= this.#windowEnds_s) {
      const excess = this.#window_s - this.#usual_s;
      if (excess > LOSS_S) {
        const missing = Math.round(excess * this.#rate);
        this.frames += missing;
        lost += missing;
      } else this.#usual_s += Math.min(excess, MAX_DRIFT * WINDOW_S);
      this.#justResumed = false;
      this.#nextWindow(at_s);
    }
    this.frames += frames;
    return lost;
  }

  /**
   * Counts the first block of a stream that was opened again.
   * @returns frames lost before this block, from the time that passed
   */
  resumed(frames: number, at_s: number): number {
    if (this.#origin_s === null) this.#begin(frames, at_s);
    this.#usual_s += this.#surplus_s;
    this.#surplus_s = 0;
    this.#justResumed = true;
    const due = Math.round((at_s - this.#origin_s! - this.#usual_s) * this.#rate) - frames;
    const lost = Math.max(0, due - this.frames);
    this.frames += lost + frames;
    this.#nextWindow(at_s);
    return lost;
  }

  #begin(frames: number, at_s: number): void {
    this.#origin_s = at_s - frames / this.#rate;
    this.#nextWindow(at_s);
  }

  #nextWindow(at_s: number): void {
    this.#window_s = Number.POSITIVE_INFINITY;
    this.#windowEnds_s = at_s + WINDOW_S;
  }
}
