import { Command, CommanderError } from 'commander';
import { BundleError } from '../../shared/bundle/visit.ts';
import { CliInputError } from './input-error.ts';

const program = new Command('rumblepath')
  .description(
    'Find which rotating part of a vehicle makes the noise: the same code as the app, without a window.',
  )
  .exitOverride()
  .configureOutput({ writeErr: (text) => process.stderr.write(text) });

/** Errors whose message is meant for the user: bad arguments or bad input, exit code 2. */
const isInputError = (error: unknown): error is Error =>
  error instanceof CliInputError || error instanceof BundleError;

try {
  await program.parseAsync();
} catch (error) {
  if (error instanceof CommanderError) {
    // Commander has written its own line already; asking for help is not a mistake.
    process.exitCode = error.exitCode === 0 ? 0 : 2;
  } else if (isInputError(error)) {
    process.stderr.write(`${error.message.split('\n')[0]}\n`);
    process.exitCode = 2;
  } else {
    process.stderr.write(`${error instanceof Error ? (error.stack ?? error.message) : String(error)}\n`);
    process.exitCode = 1;
  }
}
