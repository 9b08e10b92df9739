import type { ShaftMotion } from './speed-motion.ts';
import { assertFinite, assertNotEmpty, assertPositive } from './validation.ts';

/** Switching levels of a pulse signal: an edge counts when the signal has come from below `low` and reaches `mid`. */
type Levels = { readonly low: number; readonly mid: number };

/** Depth of the hysteresis below the switching level, as a share of the pulse height (common practice). */
const HYSTERESIS = 0.25;

/** A pulse signal whose quiet and raised levels are closer than this share of its peak is no pulse signal. */
const LEAST_HEIGHT = 1e-3;

/** Switching levels from the 1st and 99.5th percentile, or null when the signal does not pulse. */
function pulseLevels(samples: ArrayLike<number>): Levels | null {
  const stride = Math.max(1, Math.floor(samples.length / 20_000));
  const some: number[] = [];
  let lowest = Number.POSITIVE_INFINITY;
  let highest = Number.NEGATIVE_INFINITY;
  for (let i = 0; i < samples.length; i++) {
    const x = samples[i]!;
    if (x < lowest) lowest = x;
    if (x > highest) highest = x;
    if (i % stride === 0) some.push(x);
  }
  some.sort((a, b) => a - b);
  const bottom = some[Math.floor(0.01 * (some.length - 1))]!;
  // Narrow pulses fill less than a percent of a turn: then the top is the peak itself.
  const upper = some[Math.floor(0.995 * (some.length - 1))]!;
  const top = upper - bottom > 0.5 * (highest - bottom) ? upper : highest;
  const height = top - bottom;
  if (!(height > LEAST_HEIGHT * Math.max(Math.abs(lowest), Math.abs(highest)))) return null;
  const mid = bottom + 0.5 * height;
  return { mid, low: mid - HYSTERESIS * height };
}

/**
 * Rising edges of a tacho signal to a fraction of a sample (linear between the samples around the switching level).
 * An edge rounded to the sample would put sidebands near -30 dB on a 1 kHz order at 48 kHz; computed order tracking
 * is very sensitive to pulse timing (Fyfe & Munck, Mech. Syst. Signal Process. 11, 1997).
 * @param samples pulse signal in any unit
 * @returns edge times in s from the first sample; empty when the signal does not pulse
 * @throws RangeError for an empty signal, NaN or infinity
 */
export function tachoEdges(samples: ArrayLike<number>, sampleRate_Hz: number): Float64Array {
  assertPositive(sampleRate_Hz, 'sampleRate_Hz');
  assertNotEmpty(samples, 'tacho samples');
  assertFinite(samples, 'tacho samples');
  const levels = pulseLevels(samples);
  if (!levels) return new Float64Array();
  const edges: number[] = [];
  let armed = samples[0]! < levels.low;
  for (let i = 1; i < samples.length; i++) {
    const x = samples[i]!;
    if (armed && x >= levels.mid) {
      const before = samples[i - 1]!;
      edges.push((i - 1 + (levels.mid - before) / (x - before)) / sampleRate_Hz);
      armed = false;
    } else if (!armed && x < levels.low) armed = true;
  }
  return Float64Array.from(edges);
}

/** Pulse times after repair, with what was repaired. */
export type RepairedPulses = {
  /** Rising, in s: one for every step of the shaft. */
  readonly t_s: Float64Array;
  readonly missing: number;
  readonly doubled: number;
  /** Intervals so long that the number of pulses in them is a guess: [from, to] in s. */
  readonly gaps: readonly (readonly [number, number])[];
};

/** Intervals on either side whose median is what the next interval should be. */
const NEIGHBOURS = 6;
/** More pulses than this missing in a row: the speed in between is not known well enough to count them. */
const LONGEST_REPAIR = 6;

/** Shares of an interval by which it may differ from the usual one and still be one. */
const SPURIOUS = 0.35;

/**
 * Puts in missing pulses and takes out doubled ones, judged by the median interval nearby.
 * @param edges_s rising times in s
 */
export function repairPulses(edges_s: ArrayLike<number>): RepairedPulses {
  assertFinite(edges_s, 'edges_s');
  const times = Array.from(edges_s);
  let doubled = 0;
  // Doubled first: a spurious edge splits one interval into two short ones and would spoil the median of neither.
  for (let i = 1; i < times.length - 1; ) {
    const usual = usualInterval(times, i);
    // A spurious edge is one without which its neighbours are a usual interval apart, and the better fit of the two
    // edges of a short interval.
    const without = Math.abs(times[i + 1]! - times[i - 1]! - usual);
    const withoutNext =
      i + 2 < times.length ? Math.abs(times[i + 2]! - times[i]! - usual) : Number.POSITIVE_INFINITY;
    if (without < SPURIOUS * usual && without <= withoutNext) {
      times.splice(i, 1);
      doubled++;
    } else i++;
  }
  const repaired: number[] = times.slice(0, 1);
  const gaps: [number, number][] = [];
  let missing = 0;
  for (let i = 1; i < times.length; i++) {
    const from = times[i - 1]!;
    const to = times[i]!;
    const usual = usualInterval(times, i);
    const steps = Math.max(1, Math.round((to - from) / usual));
    if (steps - 1 > LONGEST_REPAIR) gaps.push([from, to]);
    missing += steps - 1;
    for (let k = 1; k <= steps; k++) repaired.push(k === steps ? to : from + ((to - from) * k) / steps);
  }
  return { t_s: Float64Array.from(repaired), missing, doubled, gaps };
}

/** Median of the intervals around pulse `i`, without the one before it and the one after it. */
function usualInterval(times: readonly number[], i: number): number {
  const intervals: number[] = [];
  for (let k = Math.max(1, i - NEIGHBOURS); k <= Math.min(times.length - 1, i + NEIGHBOURS); k++) {
    intervals.push(times[k]! - times[k - 1]!);
  }
  intervals.sort((a, b) => a - b);
  return intervals[intervals.length >> 1]!;
}

/**
 * The motion of a shaft from its pulses: a natural cubic spline of the turns over time, through every pulse.
 * @param pulses_s rising times in s, one for every 1 / pulsesPerRev of a turn, at least three
 * @param pulsesPerRev pulses in one turn of the shaft
 * @throws RangeError for fewer than three pulses, times that do not rise, NaN or infinity
 */
export function motionFromPulses(pulses_s: ArrayLike<number>, pulsesPerRev: number): ShaftMotion {
  assertPositive(pulsesPerRev, 'pulsesPerRev');
  assertFinite(pulses_s, 'pulses_s');
  const n = pulses_s.length;
  if (n < 3) throw new RangeError(`${n} tacho pulses: at least three are needed to know how the shaft turns`);
  const t_s = Float64Array.from(pulses_s);
  const turns = new Float64Array(n);
  for (let i = 0; i < n; i++) turns[i] = i / pulsesPerRev;
  return { t_s, turns, hz: splineSlopes(t_s, turns) };
}

/** Slopes at the knots of the natural cubic spline through (x, y): a tridiagonal system (Thomas algorithm). */
function splineSlopes(x: Float64Array, y: Float64Array): Float64Array {
  const n = x.length;
  const upper = new Float64Array(n);
  const slope = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const hBefore = i > 0 ? x[i]! - x[i - 1]! : 0;
    const hAfter = i < n - 1 ? x[i + 1]! - x[i]! : 0;
    if ((i > 0 && !(hBefore > 0)) || (i < n - 1 && !(hAfter > 0))) {
      throw new RangeError(`pulses_s: value ${i} does not lie between its neighbours; the times must rise`);
    }
    const below = i > 0 ? 1 / hBefore : 0;
    const above = i < n - 1 ? 1 / hAfter : 0;
    const right =
      3 *
      ((i > 0 ? (y[i]! - y[i - 1]!) * below * below : 0) +
        (i < n - 1 ? (y[i + 1]! - y[i]!) * above * above : 0));
    const pivot = 2 * (below + above) - below * (i > 0 ? upper[i - 1]! : 0);
    upper[i] = above / pivot;
    slope[i] = (right - below * (i > 0 ? slope[i - 1]! : 0)) / pivot;
  }
  for (let i = n - 2; i >= 0; i--) slope[i] = slope[i]! - upper[i]! * slope[i + 1]!;
  return slope;
}

/** Seconds after which a tracker that sees no pulse says that the shaft stands. */
const STANDSTILL_S = 2;
/** Time in which the followed top and bottom of the pulses give way, in s. */
const FOLLOW_S = 1;

/** A pulse sooner than this share of the usual interval is spurious. */
const EARLY = 0.6;
/** A shaft has inertia: successive steps that differ by more than this factor are noise, not pulses. */
const STEADY = 1.5;

/** Whether at least two thirds of the last intervals are like the ones before them. */
function steady(pulses: readonly number[]): boolean {
  let like = 0;
  let all = 0;
  for (let i = Math.max(2, pulses.length - 12); i < pulses.length; i++) {
    const ratio = (pulses[i]! - pulses[i - 1]!) / (pulses[i - 1]! - pulses[i - 2]!);
    all++;
    if (ratio < STEADY && ratio > 1 / STEADY) like++;
  }
  return like >= (2 / 3) * all;
}

/**
 * A tacho channel as it comes: fed with blocks, it knows the speed and the turns up to the last pulse, with missing
 * and doubled pulses repaired by the interval before.
 */
export class TachoTracker {
  readonly #sampleRate: number;
  readonly #pulsesPerRev: number;
  readonly #memory_s: number;
  readonly #release: number;
  #samples = 0;
  #before = 0;
  #armed = false;
  #top = Number.NEGATIVE_INFINITY;
  #bottom = Number.POSITIVE_INFINITY;
  #pulses: number[] = [];
  /** Number of pulses (after repair) that came before the first one still held. */
  #dropped = 0;
  #missing = 0;
  #doubled = 0;

  /**
   * @param sampleRate_Hz samples per second
   * @param pulsesPerRev pulses in one turn of the shaft
   * @param memory_s how far back `motion` reaches
   */
  constructor(sampleRate_Hz: number, pulsesPerRev: number, memory_s = 8) {
    assertPositive(sampleRate_Hz, 'sampleRate_Hz');
    assertPositive(pulsesPerRev, 'pulsesPerRev');
    assertPositive(memory_s, 'memory_s');
    this.#sampleRate = sampleRate_Hz;
    this.#pulsesPerRev = pulsesPerRev;
    this.#memory_s = memory_s;
    this.#release = 1 - Math.exp(-1 / (FOLLOW_S * sampleRate_Hz));
  }

  /** Pulses repaired since the start. */
  get repaired(): { readonly missing: number; readonly doubled: number } {
    return { missing: this.#missing, doubled: this.#doubled };
  }

  /** Turning rate in Hz over the last few pulses; null before the third pulse and when the shaft stands. */
  get hz(): number | null {
    const pulses = this.#pulses;
    const n = pulses.length;
    if (n < 3) return null;
    const silence = this.#samples / this.#sampleRate - pulses[n - 1]!;
    const interval = pulses[n - 1]! - pulses[n - 2]!;
    if (silence > Math.max(STANDSTILL_S, 4 * interval)) return null;
    const span = Math.min(n - 1, Math.max(2, Math.round(this.#pulsesPerRev)));
    if (!steady(pulses)) return null;
    const mean = (pulses[n - 1]! - pulses[n - 1 - span]!) / span;
    // A late pulse means that the shaft is slowing: it cannot turn faster than one step in the silence.
    return 1 / (this.#pulsesPerRev * Math.max(mean, silence > 1.5 * interval ? silence : 0));
  }

  /**
   * How the shaft turned over the remembered stretch, up to the last pulse; null before the third pulse. Times are
   * seconds since the first sample fed, turns count from the first pulse of all.
   */
  motion(): ShaftMotion | null {
    if (this.#pulses.length < 3) return null;
    const { t_s, turns, hz } = motionFromPulses(this.#pulses, this.#pulsesPerRev);
    const offset = this.#dropped / this.#pulsesPerRev;
    return { t_s, hz, turns: turns.map((x) => x + offset) };
  }

  /** Takes the next block. @throws RangeError for NaN or infinity */
  push(block: ArrayLike<number>): void {
    assertFinite(block, 'tacho block');
    for (let i = 0; i < block.length; i++) this.#take(block[i]!);
    const oldest = this.#samples / this.#sampleRate - this.#memory_s;
    let old = 0;
    while (this.#pulses.length - old > 3 && this.#pulses[old]! < oldest) old++;
    if (old > 0) this.#pulses.splice(0, old);
    this.#dropped += old;
  }

  #take(x: number): void {
    // Top and bottom jump out to each new extreme and give way slowly, so that the levels follow the signal.
    const rest = this.#release * (this.#top - this.#bottom);
    this.#top = x > this.#top ? x : this.#top - (Number.isFinite(rest) ? rest : 0);
    this.#bottom = x < this.#bottom ? x : this.#bottom + (Number.isFinite(rest) ? rest : 0);
    const height = this.#top - this.#bottom;
    const mid = this.#bottom + 0.5 * height;
    if (this.#armed && x >= mid && height > 0) {
      this.#armed = false;
      const before = Math.min(this.#before, mid);
      const at = this.#samples - 1 + (x > before ? (mid - before) / (x - before) : 0);
      this.#pulse(at / this.#sampleRate);
    } else if (!this.#armed && x < mid - HYSTERESIS * height) this.#armed = true;
    this.#before = x;
    this.#samples++;
  }

  #pulse(t: number): void {
    const pulses = this.#pulses;
    const n = pulses.length;
    if (n >= 4) {
      const recent = [
        pulses[n - 1]! - pulses[n - 2]!,
        pulses[n - 2]! - pulses[n - 3]!,
        pulses[n - 3]! - pulses[n - 4]!,
      ];
      const usual = recent.sort((a, b) => a - b)[1]!;
      const interval = t - pulses[n - 1]!;
      if (interval < EARLY * usual) {
        this.#doubled++;
        return;
      }
      const steps = Math.round(interval / usual);
      if (steps > 1 && steps - 1 <= LONGEST_REPAIR) {
        this.#missing += steps - 1;
        const last = pulses[n - 1]!;
        for (let k = 1; k < steps; k++) pulses.push(last + (interval * k) / steps);
      } else if (steps - 1 > LONGEST_REPAIR) {
        // Stood still or out of sight: the count goes on from here, the motion begins anew.
        this.#dropped += n;
        this.#pulses = [t];
        return;
      }
    }
    pulses.push(t);
  }
}
