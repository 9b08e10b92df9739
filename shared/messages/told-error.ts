import { type Message, message } from './message.ts';
import { english } from './tell.ts';

/**
 * Something that the technician must hear: one sentence of what happened and what to do, told by whoever shows it in
 * the reader's language. `message` is the English of it, for the command line and for developers; the `cause` is for
 * the log.
 */
export abstract class ToldError extends Error {
  readonly told: Message;

  constructor(told: Message, options?: ErrorOptions) {
    super(english(told), options);
    this.told = told;
  }
}

/** What to tell of anything that was thrown: an error that was not meant for the technician says what it says. */
export function toldOf(error: unknown): Message {
  if (error instanceof ToldError) return error.told;
  return message('written', { text: error instanceof Error ? error.message : String(error) });
}
