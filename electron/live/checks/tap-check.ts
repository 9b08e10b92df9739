import type { CheckResult } from '../../../shared/contract/visit-work.ts';
import { type Message, message } from '../../../shared/messages/message.ts';
import type { Check, CheckSetting } from './check.ts';
import { type Tap, TapWatch } from './tap-watch.ts';

type TapResult = Extract<CheckResult, { check: 'tap' }>;

/** A channel whose knock is no clearer than this over its own noise, or so far below the strongest, only overheard it. */
const LEAST_RISE_DB = 15;
const OVERHEARD_DB = 26;
/** Sound takes about 0.2 ms for a metre of iron, and longer over joints: what comes this close together came at once. */
const AT_ONCE_S = 0.0001;
/** Of channels that were reached at once, the one that is this much stronger is nearer (leakage, or one casting). */
const CLEAR_DB = 6;
const WAIT_S = 30;

/**
 * Tap beside a pickup: which channel answered. The knock travels, so a far pickup may feel it nearly as strongly as the
 * near one, or more so where its pickup is more sensitive; but the near one feels it first. Leakage between inputs comes
 * at once and far weaker. So the first counts, and the strongest among those that were first together.
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
    if (!this.#watch.ready) return { progress: null, text: message('check.quiet') };
    const channel = this.#expected;
    const place = this.#placeOf(channel);
    const ask =
      place === null ? message('check.tap.askChannel', { channel }) : message('check.tap.ask', { place });
    const unclear = this.#unclear?.text;
    return { progress: null, text: unclear ? message('check.tap.askAgain', { unclear, ask }) : ask };
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
    return this.#unclear ?? this.#result('unclear', null, null, [], message('check.tap.none'));
  }

  #judge(tap: Tap): TapResult {
    const { channels } = this.#setting;
    const absolute = channels.every((c) => c.fullScale_m_s2 != null);
    const strength_db = tap.channels.map(
      (t, c) => 20 * Math.log10(Math.max(t.peak, 1e-9) * (absolute ? channels[c]!.fullScale_m_s2! : 1)),
    );
    const order = strength_db.map((_, c) => c).sort((a, b) => strength_db[b]! - strength_db[a]!);
    const strongest_db = strength_db[order[0]!]!;
    const margin_db = order.length < 2 ? null : strongest_db - strength_db[order[1]!]!;
    const shown = tap.channels.map(({ peak, rise_db, after_s }, c) => ({
      channel: channels[c]!.channel,
      rise_db,
      peak,
      after_ms: 1000 * after_s,
    }));

    const felt = order.filter(
      (c) => tap.channels[c]!.rise_db >= LEAST_RISE_DB && strength_db[c]! >= strongest_db - OVERHEARD_DB,
    );
    const first_s = Math.min(...felt.map((c) => tap.channels[c]!.after_s));
    const together = felt.filter((c) => tap.channels[c]!.after_s - first_s < AT_ONCE_S);
    const [near, next] = together;
    if (near === undefined) {
      return this.#result('unclear', null, margin_db, shown, message('check.tap.tooWeak'));
    }
    const answered = channels[near]!.channel;
    if (next !== undefined && strength_db[near]! - strength_db[next]! < CLEAR_DB) {
      const text = message('check.tap.alike', { one: answered, other: channels[next]!.channel });
      return this.#result('unclear', null, margin_db, shown, text);
    }
    const channel = this.#expected;
    const place = this.#placeOf(channel);
    if (answered === channel) {
      const text =
        place === null
          ? message('check.tap.rightChannel', { channel })
          : message('check.tap.right', { channel, place });
      return this.#result('right', answered, margin_db, shown, text);
    }
    const text =
      place === null
        ? message('check.tap.otherChannel', { answered, channel })
        : message('check.tap.other', { answered, channel, place });
    return this.#result('other', answered, margin_db, shown, text);
  }

  /** Null for a channel that the placement does not have. */
  #placeOf(channel: number): string | null {
    return this.#setting.channels.find((c) => c.channel === channel)?.position ?? null;
  }

  #result(
    verdict: TapResult['verdict'],
    answered: number | null,
    margin_db: number | null,
    channels: TapResult['channels'],
    text: Message,
  ): TapResult {
    return { check: 'tap', channel: this.#expected, verdict, answered, margin_db, channels, text };
  }
}
