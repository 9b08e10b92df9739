import { ZodError } from 'zod';
import type { MessageId } from '../../shared/messages/message.ts';
import { ToldError } from '../../shared/messages/told-error.ts';

/** An error as the log keeps it. */
export interface PlainError {
  readonly error: string;
  /** Which sentence the technician was told, without the names in it. */
  readonly told?: MessageId;
  /** Of the system, SQLite or Node, e.g. `ENOSPC`. */
  readonly code?: string;
  /** What did not fit a schema: kind and place of each fault, never the value. */
  readonly faults?: readonly string[];
  /** Where in the program, innermost first. */
  readonly at: readonly string[];
  readonly cause?: PlainError;
}

const MOST_FRAMES = 12;
const DEEPEST_CAUSE = 4;

/**
 * An error without its message. Messages quote what was worked on: a parser shows the text that it stumbled over, the
 * system a path with somebody's name. Kind, sentence, code and place lead to the source, and to nobody.
 */
export function plainError(error: unknown, depth = 0): PlainError {
  if (!(error instanceof Error)) return { error: typeof error, at: [] };
  const { code } = error as { code?: unknown };
  return {
    error: /^\w{0,40}Error$/.test(error.name) ? error.name : 'Error',
    ...(error instanceof ToldError ? { told: error.told.id } : {}),
    ...(typeof code === 'string' && /^[A-Z][A-Z_]{1,60}$/.test(code) ? { code } : {}),
    ...(error instanceof ZodError ? { faults: error.issues.slice(0, MOST_FRAMES).map(placeOf) } : {}),
    at: framesOf(error),
    ...(error.cause instanceof Error && depth < DEEPEST_CAUSE
      ? { cause: plainError(error.cause, depth + 1) }
      : {}),
  };
}

/** Keys of the contract are written like names in the source; whatever else stands in a path may be data. */
const placeOf = ({ code, path }: ZodError['issues'][number]): string =>
  `${code} at ${path.map((key) => (typeof key === 'number' || /^[a-z][A-Za-z_]*$/.test(String(key)) ? String(key) : '…')).join('.')}`;

/** V8's stack repeats the message, of as many lines as it has, before the frames. */
function framesOf({ message, stack = '' }: Error): string[] {
  const at = stack.indexOf(message);
  if (at < 0) return [];
  return stack
    .slice(at + message.length)
    .split('\n')
    .flatMap((line) => {
      const frame =
        /^ {4}at (?:async )?(?:([\w$.<># ]+?) (?:\[as [\w$]+\] )?\()?([^()]*?):(\d+):\d+\)?$/.exec(line);
      if (!frame) return [];
      const file = frame[2]!.split(/[\\/]/).at(-1)!;
      return [`${frame[1] ?? ''} ${file}:${frame[3]}`.trim()];
    })
    .slice(0, MOST_FRAMES);
}
