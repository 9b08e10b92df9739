import { garageError } from '../../db/error.ts';
import {
  REQUESTS,
  type Reply,
  type RequestInput,
  type RequestName,
  type RequestOutput,
} from '../../shared/contract/requests.ts';
import { messageIn } from '../../shared/messages/as-text.ts';
import { type Message, message } from '../../shared/messages/message.ts';
import { ToldError } from '../../shared/messages/told-error.ts';
import { FieldError } from './field-error.ts';

/** A request that is answered with nothing may be handled by a function that returns nothing. */
// biome-ignore lint/suspicious/noConfusingVoidType: a function that returns nothing is what is meant
type Answer<N extends RequestName> = RequestOutput<N> extends null ? void : RequestOutput<N>;

export type Handlers = {
  readonly [N in RequestName]: (input: RequestInput<N>) => Answer<N> | Promise<Answer<N>>;
};

/** What SQLite threw: a full disk, a damaged file. */
const fromSqlite = (error: unknown): boolean => error instanceof Error && error.name === 'SqliteError';

const refusal = (told: Message, field = ''): Reply => ({ ok: false, told, ...(field ? { field } : {}) });

const known = (name: string): name is RequestName => Object.hasOwn(REQUESTS, name);

/**
 * Runs one request: input checked before any code sees it, answer checked before it leaves, every error turned into
 * a reply. What was not meant for the technician goes to `report`: the errors that he was not told, and those that he
 * was told in a sentence of ours where something else had caused them.
 */
export async function dispatch(
  handlers: Handlers,
  name: string,
  input: unknown,
  report: (error: unknown, request: RequestName, told: boolean) => void,
): Promise<Reply> {
  if (!known(name)) return refusal(message('error.noRequest', { name: name.slice(0, 60) }));
  const checked = REQUESTS[name].input.safeParse(input);
  if (!checked.success) {
    const issue = checked.error.issues[0]!;
    const field = issue.path.map(String).join('.');
    return refusal(messageIn(issue.message), field);
  }
  try {
    const handle = handlers[name] as (input: unknown) => unknown;
    const answer = REQUESTS[name].output.safeParse((await handle(checked.data)) ?? null);
    if (answer.success) return { ok: true, value: answer.data };
    throw new Error(`the answer to ${name} does not fit the contract`, { cause: answer.error });
  } catch (error) {
    const thrown = fromSqlite(error) ? garageError(error, 'garage.db') : error;
    if (thrown instanceof ToldError) {
      if (thrown.cause !== undefined) report(thrown, name, true);
      return refusal(thrown.told, thrown instanceof FieldError ? thrown.field : '');
    }
    report(error, name, false);
    return refusal(message('error.inside'));
  }
}
