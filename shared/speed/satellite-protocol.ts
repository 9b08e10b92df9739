import { LinkHealth } from './link-health.ts';
import { parseSentence, SentenceSplitter } from './nmea.ts';
import { PlausibleSpeed } from './plausible-speed.ts';
import type { LinkProblem, ProtocolStep, SpeedLinkReading, SpeedProtocol } from './protocol.ts';

/** RMC has the status field that VTG lacks: while it comes, VTG only says the same again. */
const RMC_RULES_S = 2.5;

/** A satellite receiver that speaks by itself, NMEA 0183. */
export class SatelliteProtocol implements SpeedProtocol {
  readonly #sentences = new SentenceSplitter();
  readonly #plausible = new PlausibleSpeed();
  readonly #health = new LinkHealth();
  #rmc_s = Number.NEGATIVE_INFINITY;

  begin(now_s: number): void {
    this.#sentences.forget();
    this.#plausible.forget();
    this.#health.begin(now_s);
    this.#rmc_s = Number.NEGATIVE_INFINITY;
  }

  receive(bytes: Uint8Array, now_s: number): readonly SpeedLinkReading[] {
    if (bytes.length > 0) this.#health.heard(now_s);
    const readings: SpeedLinkReading[] = [];
    for (const text of this.#sentences.push(bytes)) {
      const sentence = parseSentence(text);
      if (sentence.kind === 'damaged') continue;
      this.#health.understood(now_s);
      if (sentence.kind === 'other') continue;
      if (sentence.type === 'RMC') this.#rmc_s = now_s;
      else if (now_s - this.#rmc_s < RMC_RULES_S) continue;
      if (sentence.kind === 'noFix') this.#health.hindered('noFix', now_s);
      else if (!this.#plausible.take(sentence.km_h, now_s)) this.#health.hindered('absurd', now_s);
      else {
        this.#health.usable(now_s);
        readings.push({ quantity: 'road', km_h: sentence.km_h, at_s: now_s });
      }
    }
    return readings;
  }

  /** A receiver needs no asking. */
  step(): ProtocolStep {
    return { readings: [], send: null };
  }

  problem(now_s: number): LinkProblem | null {
    return this.#health.problem(now_s);
  }
}
