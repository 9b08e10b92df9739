import { LinkHealth } from './link-health.ts';
import { isText, PIDS, parseReply, type Quantity } from './mode-one.ts';
import { HIGHEST_RPM, PlausibleSpeed } from './plausible-speed.ts';
import type { LinkProblem, ProtocolStep, SpeedLinkReading, SpeedProtocol } from './protocol.ts';

/**
 * Sent once when the link is made, each answered by the prompt. The plain default switches the echo off, by the command
 * of ITU-T V.250 that adapters with a line of text commonly follow. All else is left as the adapter comes: the replies
 * are read with and without headers and spaces.
 */
export const BUS_FIRST_LINES: readonly string[] = ['ATE0'];

/** Ends a reply: the adapter is ready for the next line (common practice). */
const PROMPT = '>';
/** An honest reply is a few dozen characters from each of a few control units. */
const LONGEST_REPLY = 1024;

/** At most so often a request is sent: buses answer 5 to 20 a second, and more would tell nothing new. */
const REQUEST_EVERY_S = 0.05;
/** A whole answer after which nothing follows: an adapter without a prompt. */
const NO_PROMPT_S = 0.2;
/** Nothing at all: the adapter is off, or was asleep. */
const NO_REPLY_S = 2;
/** Something, but no prompt: looking for the vehicle's bus takes that long, and another line would break it off. */
const SEARCH_S = 10;

/** Long enough for an answer that is still on its way to come, and to be passed over. */
const OUT_OF_STEP_S = 0.5;

/** After so many requests without engine speed it is asked for only now and then: an electric car has none. */
const ENGINE_TRIES = 3;
const ENGINE_AGAIN_EVERY = 20;

/** A serial adapter at the vehicle's bus that answers hexadecimal lines: asked for road and engine speed in turn. */
export class BusProtocol implements SpeedProtocol {
  readonly #firstLines: readonly string[];
  readonly #plausible = new PlausibleSpeed();
  readonly #health = new LinkHealth();
  #linesToSend: string[] = [];
  #asked: { quantity: Quantity | null; at_s: number } | null = null;
  #reply = '';
  #lastByte_s = Number.NEGATIVE_INFINITY;
  #nextRequest_s = Number.NEGATIVE_INFINITY;
  #requests = 0;
  #withoutEngine = 0;

  constructor(firstLines: readonly string[] = BUS_FIRST_LINES) {
    this.#firstLines = firstLines;
  }

  begin(now_s: number): void {
    this.#linesToSend = [...this.#firstLines];
    this.#asked = null;
    this.#reply = '';
    this.#lastByte_s = Number.NEGATIVE_INFINITY;
    this.#nextRequest_s = now_s;
    this.#requests = 0;
    this.#withoutEngine = 0;
    this.#plausible.forget();
    this.#health.begin(now_s);
  }

  receive(bytes: Uint8Array, now_s: number): readonly SpeedLinkReading[] {
    if (bytes.length === 0) return [];
    this.#health.heard(now_s);
    this.#lastByte_s = now_s;
    const readings: SpeedLinkReading[] = [];
    for (const byte of bytes) {
      const character = String.fromCharCode(byte);
      if (character === PROMPT) readings.push(...this.#take(now_s));
      // Some adapters send zero bytes between the characters (common practice to leave them out).
      else if (byte !== 0 && this.#asked && this.#reply.length < LONGEST_REPLY) this.#reply += character;
    }
    return readings;
  }

  step(now_s: number): ProtocolStep {
    const readings = this.#asked && this.#waitedEnough(this.#asked, now_s) ? this.#take(now_s) : [];
    const send = this.#asked || now_s < this.#nextRequest_s ? null : this.#nextLine(now_s);
    return { readings, send };
  }

  problem(now_s: number): LinkProblem | null {
    return this.#health.problem(now_s);
  }

  #nextLine(now_s: number): string {
    const firstLine = this.#linesToSend.shift();
    const quantity = firstLine === undefined ? this.#nextQuantity() : null;
    this.#asked = { quantity, at_s: now_s };
    this.#nextRequest_s = now_s + REQUEST_EVERY_S;
    return `${quantity === null ? firstLine : PIDS[quantity].request}\r`;
  }

  #nextQuantity(): Quantity {
    const engineEvery = this.#withoutEngine < ENGINE_TRIES ? 2 : ENGINE_AGAIN_EVERY;
    return ++this.#requests % engineEvery === 0 ? 'engine' : 'road';
  }

  /** For adapters that do not prompt, and those that have been switched off. */
  #waitedEnough({ quantity, at_s }: { quantity: Quantity | null; at_s: number }, now_s: number): boolean {
    if (now_s - at_s > SEARCH_S) return true;
    const quiet_s = now_s - Math.max(at_s, this.#lastByte_s);
    if (this.#reply === '') return quiet_s > NO_REPLY_S;
    return quiet_s > NO_PROMPT_S && quantity !== null && parseReply(this.#reply, quantity).kind === 'value';
  }

  /** The reply to what was asked has ended. */
  #take(now_s: number): SpeedLinkReading[] {
    const asked = this.#asked;
    const text = this.#reply;
    this.#asked = null;
    this.#reply = '';
    if (!asked) return [];
    if (asked.quantity === null) {
      if (text !== '' && isText(text)) this.#health.understood(now_s);
      return [];
    }
    const reply = parseReply(text, asked.quantity);
    const other = asked.quantity === 'road' ? 'engine' : 'road';
    if (reply.kind === 'text' && parseReply(text, other).kind === 'value') {
      // The answer to the request before, which had been given up: every answer from now on would be one late.
      this.#health.understood(now_s);
      this.#nextRequest_s = now_s + OUT_OF_STEP_S;
      return [];
    }
    if (asked.quantity === 'engine') {
      this.#withoutEngine = reply.kind === 'value' ? 0 : this.#withoutEngine + 1;
      if (reply.kind !== 'value' || reply.value > HIGHEST_RPM) return [];
      this.#health.understood(now_s);
      return [{ quantity: 'engine', rpm: reply.value, at_s: now_s }];
    }
    switch (reply.kind) {
      case 'value':
        if (!this.#plausible.take(reply.value, now_s)) {
          this.#health.hindered('absurd', now_s);
          return [];
        }
        this.#health.usable(now_s);
        return [{ quantity: 'road', km_h: reply.value, at_s: now_s }];
      case 'refused':
        this.#health.understood(now_s);
        return [];
      case 'text':
        this.#health.hindered('noAnswer', now_s);
        return [];
      case 'nothing':
      case 'garbled':
        return [];
    }
  }
}
