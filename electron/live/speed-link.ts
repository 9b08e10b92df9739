import { SerialLink } from '../../native/speed/serial-link.ts';
import type { LinkKind, OpenSpeedLink, SpeedLinkState } from '../../shared/contract/speed-requests.ts';
import { type Message, message } from '../../shared/messages/message.ts';
import { BusProtocol } from '../../shared/speed/bus-protocol.ts';
import type { LinkProblem, SpeedLinkReading } from '../../shared/speed/protocol.ts';
import { SatelliteProtocol } from '../../shared/speed/satellite-protocol.ts';

export interface SpeedLinksOptions {
  readonly onReading: (from: LinkKind, reading: SpeedLinkReading) => void;
  /** All links that are open; told when one has a problem or none any more, and its values about once a second. */
  readonly onChanged: (links: SpeedLinkState[]) => void;
}

const SHOW_EVERY_S = 1;

interface Link {
  readonly serial: SerialLink;
  readonly state: SpeedLinkState;
}

/** The open speed links, at most one of each kind. */
export class SpeedLinks {
  readonly #options: SpeedLinksOptions;
  readonly #links = new Map<LinkKind, Link>();
  #shown_s = Number.NEGATIVE_INFINITY;
  /** Ports are opened and closed one after the other, never two at once. */
  #queue: Promise<unknown> = Promise.resolve();

  constructor(options: SpeedLinksOptions) {
    this.#options = options;
  }

  /** @throws {SpeedLinkError} when the port cannot be opened */
  open(request: OpenSpeedLink): Promise<void> {
    return this.#inTurn(async () => {
      const { kind, port, baudRate } = request;
      await this.#closeNow(kind);
      const state: SpeedLinkState = { kind, port, problem: null, km_h: null, engine_rpm: null };
      const serial = await SerialLink.open({
        path: port,
        baudRate,
        protocol: kind === 'satellite' ? new SatelliteProtocol() : new BusProtocol(request.firstLines),
        onReading: (reading) => this.#take(state, reading),
        onProblem: (problem) => {
          state.problem = problem && wordsOf(kind, port, problem);
          if (problem) state.km_h = state.engine_rpm = null;
          this.#show();
        },
      });
      this.#links.set(kind, { serial, state });
    }).finally(() => this.#show());
  }

  close(kind: LinkKind): Promise<void> {
    return this.#inTurn(() => this.#closeNow(kind)).finally(() => this.#show());
  }

  closeAll(): Promise<void> {
    return this.#inTurn(async () => {
      for (const kind of [...this.#links.keys()]) await this.#closeNow(kind);
    });
  }

  async #closeNow(kind: LinkKind): Promise<void> {
    const link = this.#links.get(kind);
    this.#links.delete(kind);
    await link?.serial.close();
  }

  #take(state: SpeedLinkState, reading: SpeedLinkReading): void {
    if (reading.quantity === 'road') state.km_h = reading.km_h;
    else state.engine_rpm = reading.rpm;
    this.#options.onReading(state.kind, reading);
    if (reading.at_s - this.#shown_s >= SHOW_EVERY_S) {
      this.#shown_s = reading.at_s;
      this.#show();
    }
  }

  #show(): void {
    this.#options.onChanged(Array.from(this.#links.values(), ({ state }) => ({ ...state })));
  }

  #inTurn<T>(work: () => Promise<T>): Promise<T> {
    const result = this.#queue.then(work);
    this.#queue = result.catch(() => {});
    return result;
  }
}

/** One sentence for the technician: what happened and what to do. */
const wordsOf = (kind: LinkKind, port: string, problem: LinkProblem): Message =>
  problem === 'noFix' || problem === 'noAnswer'
    ? message(`link.${problem}`)
    : message(`link.${kind}.${problem}`, { port });
