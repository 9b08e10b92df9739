import { z } from 'zod';
import { textOf } from '../messages/as-text.ts';
import { type Message, message } from '../messages/message.ts';
import type { WordOf } from '../messages/tell.ts';

/** Form fields with a sentence for the technician: what is wrong, and what would be right. */

export type Field = WordOf<'field'>;

/** A schema's issue is a text; whoever shows it makes the sentence (`messageIn`). */
export const issue = (told: Message) => ({ error: textOf(told) });

/** A number of a unit within what the trade can have. */
export function within(field: Field, low: number, high: number, unit?: string) {
  const range = issue(
    unit === undefined
      ? message('field.range', { field, low, high })
      : message('field.rangeOf', { field, low, high, unit }),
  );
  return z
    .number(issue(message('field.number', { field })))
    .min(low, range)
    .max(high, range);
}

/** A whole number. */
export const count = (field: Field, low: number, high: number) =>
  within(field, low, high).refine(Number.isInteger, issue(message('field.whole', { field })));

export const text = (field: Field, longest: number) =>
  z
    .string(issue(message('field.text', { field })))
    .max(longest, issue(message('field.longest', { field, longest })));

/** A text that must not be empty, without the blanks around it. */
export const named = (field: Field, longest: number) =>
  text(field, longest)
    .trim()
    .min(1, issue(message('field.empty', { field })));
