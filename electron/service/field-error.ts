/** What was entered does not fit what the garage holds: one sentence for the technician, and its field. */
export class FieldError extends Error {
  override readonly name = 'FieldError';
  /** Path in the request's input: `rigging.channels.0.pickup`. */
  readonly field: string;

  constructor(field: string, message: string) {
    super(message);
    this.field = field;
  }
}
