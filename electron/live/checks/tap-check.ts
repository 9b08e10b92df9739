import type { CheckResult } from '../../../shared/contract/visit-work.ts';
import { placeName } from '../../../shared/diagnosis/words-for.ts';
import type { Check, CheckSetting } from './check.ts';
import { type Tap, TapWatch } from './tap-watch.ts';

type TapResult = Extract<CheckResult, { check: 'tap' }>;

/** A tap beside a pickup is this much stronger there than one hop of the running gear away (common practice). */
const CLEAR_DB = 6;
const WAIT_S = 30;

/**
 * Tap beside a pickup: which channel answered. The strongest in m/s² where every sensitivity is known. Otherwise the
 * strongest re full scale and the one that stands highest over its own noise must be the same: leakage between inputs
 * rises as high on a quiet channel as a knock does on a noisy one, but never as strong as the knock itself.
 */
export class TapCheck implements Check {
  readonly #setting: CheckSetting;
  readonly #expected: number;
  readonly #watch: TapWatch;
  #frames = 0;
  #unclear: TapResult | null = null;

  constructor(setting: CheckSetting, expected: number) {
    this.#setting = setting;
    this.#expected = expected;
    this.#watch = new TapWatch(setting.channels.length, setting.sampleRate_Hz);
  }

  state() {
    const place = this.#placeOf(this.#expected);
    if (!this.#watch.ready) return { progress: null, text: 'Quiet, please: the noise is being measured.' };
    const again = this.#unclear ? `${this.#unclear.text} ` : '';
    return { progress: null, text: `${again}Tap beside the pickup at the ${place}.` };
  }

  feed(samples: readonly Float32Array[], frames: number): TapResult | null {
    this.#frames += frames;
    const tap = this.#watch.feed(samples, frames);
    if (tap) {
      const result = this.#judge(tap);
      if (result.verdict !== 'unclear') return result;
      this.#unclear = result;
    }
    if (this.#frames < WAIT_S * this.#setting.sampleRate_Hz) return null;
    return (
      this.#unclear ??
      this.#result('unclear', null, null, [], 'No tap has been felt on any channel: check clamps and leads.')
    );
  }

  #judge(tap: Tap): TapResult {
    const { channels } = this.#setting;
    const absolute = channels.every((c) => c.fullScale_m_s2 != null);
    const strength = tap.channels.map((t, c) => t.peak * (absolute ? channels[c]!.fullScale_m_s2! : 1));
    const order = strength.map((_, c) => c).sort((a, b) => strength[b]! - strength[a]!);
    const first = order[0]!;
    const second = order[1];
    const margin_db =
      second === undefined ? null : 20 * Math.log10(strength[first]! / Math.max(strength[second]!, 1e-12));
    const highest = tap.channels.reduce((b, t, c) => (t.rise_db > tap.channels[b]!.rise_db ? c : b), 0);
    const answered = channels[first]!.channel;
    const shown = tap.channels.map(({ peak, rise_db }, c) => ({
      channel: channels[c]!.channel,
      rise_db,
      peak,
    }));
    if (margin_db !== null && margin_db < CLEAR_DB) {
      const text = `Channels ${answered} and ${channels[second!]!.channel} felt the tap alike.`;
      return this.#result('unclear', null, margin_db, shown, text);
    }
    if (!absolute && highest !== first) {
      const text = `Channel ${answered} felt it strongest, but channel ${channels[highest]!.channel} stands out more.`;
      return this.#result('unclear', null, margin_db, shown, text);
    }
    if (answered === this.#expected) {
      const text = `Channel ${answered} answered, as it should: ${this.#placeOf(answered)}.`;
      return this.#result('right', answered, margin_db, shown, text);
    }
    const text = `Channel ${answered} answered, not ${this.#expected}: its lead comes from the ${this.#placeOf(this.#expected)}. Swap the leads, or the channels in the placement.`;
    return this.#result('other', answered, margin_db, shown, text);
  }

  #placeOf(channel: number): string {
    const placed = this.#setting.channels.find((c) => c.channel === channel);
    return placed ? placeName(placed.position) : `place of channel ${channel}`;
  }

  #result(
    verdict: TapResult['verdict'],
    answered: number | null,
    margin_db: number | null,
    channels: TapResult['channels'],
    text: string,
  ): TapResult {
    return { check: 'tap', channel: this.#expected, verdict, answered, margin_db, channels, text };
  }
}
