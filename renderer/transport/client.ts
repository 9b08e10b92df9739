import {
  type AppEvent,
  EVENTS,
  REQUESTS,
  ReplySchema,
  type RequestInput,
  type RequestName,
  type RequestOutput,
  type Transport,
} from '../../shared/contract/requests.ts';
import { type Message, message } from '../../shared/messages/message.ts';
import { ToldError } from '../../shared/messages/told-error.ts';

/** A request was refused; `field` names the input it belongs to. */
export class RequestError extends ToldError {
  override readonly name = 'RequestError';
  readonly field: string | undefined;
  constructor(told: Message, field?: string, cause?: unknown) {
    super(told, { cause });
    this.field = field;
  }
}

/** Calls that are typed and checked against the contract. */
export interface Client {
  /** @throws {RequestError} when the main side refuses, or its answer does not fit the contract */
  call<N extends RequestName>(name: N, input: RequestInput<N>): Promise<RequestOutput<N>>;
  /** Events that fit the contract; others are dropped and reported on the console. */
  subscribe(listener: (event: AppEvent) => void): () => void;
}

const MISFIT = message('error.misfit');

/** Puts the contract's checks around a transport. */
export function createClient(transport: Transport): Client {
  return {
    async call<N extends RequestName>(name: N, input: RequestInput<N>) {
      const reply = ReplySchema.safeParse(await transport.request(name, input));
      if (!reply.success) throw new RequestError(MISFIT, undefined, reply.error);
      if (!reply.data.ok) throw new RequestError(reply.data.told, reply.data.field);
      const value = REQUESTS[name].output.safeParse(reply.data.value);
      if (!value.success) throw new RequestError(MISFIT, undefined, value.error);
      return value.data as RequestOutput<N>;
    },
    subscribe(listener) {
      return transport.subscribe((event) => {
        const schema = EVENTS[event.name];
        const payload = schema?.safeParse(event.payload);
        if (payload?.success) listener({ name: event.name, payload: payload.data } as AppEvent);
        else console.error(`event ${event.name} does not fit the contract`, payload?.error);
      });
    },
  };
}
