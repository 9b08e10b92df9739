import { z } from 'zod';

/** Form fields with a sentence for the technician: what is wrong, and what would be right. */

const plain = (value: number): string => value.toLocaleString('en', { maximumFractionDigits: 3 });

/** A number of a unit within what the trade can have; `label` begins the sentence. */
export function within(label: string, low: number, high: number, unit = '') {
  const range = `${label}: from ${plain(low)} to ${plain(high)}${unit && ` ${unit}`}.`;
  return z
    .number({ error: `${label}: a number is needed.` })
    .min(low, range)
    .max(high, range);
}

/** A whole number. */
export const count = (label: string, low: number, high: number, unit = '') =>
  within(label, low, high, unit).refine(Number.isInteger, { message: `${label}: a whole number is needed.` });

export const text = (label: string, longest: number) =>
  z
    .string({ error: `${label}: a text is needed.` })
    .max(longest, `${label}: at most ${plain(longest)} characters.`);

/** A text that must not be empty, without the blanks around it. */
export const named = (label: string, longest: number) =>
  text(label, longest).trim().min(1, `${label}: it must not be empty.`);
