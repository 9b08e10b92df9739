import type { CheckResult } from '../../../shared/contract/visit-work.ts';
import { message } from '../../../shared/messages/message.ts';
import type { Check, CheckSetting } from './check.ts';
import { TapWatch } from './tap-watch.ts';

type PolarityResult = Extract<CheckResult, { check: 'polarity' }>;

/** What first reaches this share of the knock's height is its beginning; converters ring a little before it. */
const FIRST_SHARE = 0.3;
/** So many taps in a row must agree, and so many are waited for. */
const AGREEING = 2;
const MOST_TAPS = 6;
const WAIT_S = 40;

/** Sign of a knock's first half-wave: 1, -1, or 0 when it does not stand out. */
export function firstSign(waveform: Float64Array): -1 | 0 | 1 {
  let peak = 0;
  for (const x of waveform) peak = Math.max(peak, Math.abs(x));
  if (peak === 0) return 0;
  for (const x of waveform) if (Math.abs(x) >= FIRST_SHARE * peak) return x > 0 ? 1 : -1;
  return 0;
}

/**
 * Tap on top of a pickup, towards its base: the base is pushed along, and the first half-wave has one sign for all
 * pickups that are wired and pointing alike.
 */
export class PolarityCheck implements Check {
  readonly #index: number;
  readonly #channel: number;
  readonly #watch: TapWatch;
  readonly #longest: number;
  readonly #signs: number[] = [];
  #frames = 0;

  constructor(setting: CheckSetting, channel: number) {
    this.#channel = channel;
    this.#index = setting.channels.findIndex((c) => c.channel === channel);
    this.#watch = new TapWatch(setting.channels.length, setting.sampleRate_Hz);
    this.#longest = WAIT_S * setting.sampleRate_Hz;
  }

  state() {
    if (!this.#watch.ready) return { progress: null, text: message('check.quiet') };
    return {
      progress: Math.min(1, this.#agreeing() / AGREEING),
      text: message('check.polarity.ask', { channel: this.#channel }),
    };
  }

  feed(samples: readonly Float32Array[], frames: number): PolarityResult | null {
    this.#frames += frames;
    const tap = this.#watch.feed(samples, frames);
    const sign = tap ? firstSign(tap.channels[this.#index]!.waveform) : 0;
    if (sign !== 0) this.#signs.push(sign);
    if (this.#agreeing() >= AGREEING) {
      const positive = this.#signs.at(-1) === 1;
      return {
        check: 'polarity',
        channel: this.#channel,
        verdict: positive ? 'positive' : 'negative',
        text: message(positive ? 'check.polarity.positive' : 'check.polarity.negative', {
          channel: this.#channel,
        }),
      };
    }
    if (this.#signs.length < MOST_TAPS && this.#frames < this.#longest) return null;
    return {
      check: 'polarity',
      channel: this.#channel,
      verdict: 'unclear',
      text: message(this.#signs.length === 0 ? 'check.polarity.none' : 'check.polarity.disagree', {
        channel: this.#channel,
      }),
    };
  }

  /** Taps in a row that have the last one's sign. */
  #agreeing(): number {
    const last = this.#signs.at(-1);
    let count = 0;
    for (let i = this.#signs.length - 1; i >= 0 && this.#signs[i] === last; i--) count++;
    return count;
  }
}
