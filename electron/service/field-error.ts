import type { Message } from '../../shared/messages/message.ts';
import { ToldError } from '../../shared/messages/told-error.ts';

/** What was entered does not fit what the garage holds. */
export class FieldError extends ToldError {
  override readonly name = 'FieldError';
  /** Path in the request's input: `rigging.channels.0.pickup`. */
  readonly field: string;

  constructor(field: string, told: Message) {
    super(told);
    this.field = field;
  }
}
