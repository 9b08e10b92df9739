/** Bad arguments or bad input: the message is one line that says what and where; the command exits with 2. */
export class CliInputError extends Error {
  override readonly name = 'CliInputError';
}
