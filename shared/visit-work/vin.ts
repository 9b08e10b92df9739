import { z } from 'zod';
import { textOf } from '../messages/as-text.ts';
import { type Message, message } from '../messages/message.ts';

/**
 * Vehicle identification numbers: 17 characters, letters without I, O and Q (ISO 3779; content from memory). The
 * check digit at position 9 is required in North America only (49 CFR 565.15; arithmetic below) and normal elsewhere
 * to be missing or used for something else.
 */

export type VinCheck =
  | {
      readonly ok: true;
      /** In capitals, without blanks and hyphens. */
      readonly vin: string;
      /** `fits`; `differs`: a slip of the pen, or a vehicle of a market without check digits. */
      readonly checkDigit: 'fits' | 'differs';
      readonly expected: string;
      /** What to tell the technician; null when there is nothing to tell. */
      readonly warning: Message | null;
    }
  | { readonly ok: false; readonly problem: Message };

const LENGTH = 17;
const CHECK_AT = 8;
/** By position; the check digit itself counts nothing. */
const WEIGHTS = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];
/** Values of the letters from A on; 0 for those that no VIN has. */
const LETTER_VALUES = [1, 2, 3, 4, 5, 6, 7, 8, 0, 1, 2, 3, 4, 5, 0, 7, 0, 9, 2, 3, 4, 5, 6, 7, 8, 9];
/** Plants of these regions must give a check digit: North America, whose VINs begin with 1 to 5. */
const REQUIRED_FROM = /^[1-5]/;

const characterValue = (character: string): number =>
  character >= 'A' ? LETTER_VALUES[character.charCodeAt(0) - 65]! : Number(character);

/**
 * The digit that position 9 must hold: the weighted sum of all values modulo 11, with X for ten.
 * @param vin 17 characters out of those that a VIN may have
 */
export function vinCheckDigit(vin: string): string {
  let sum = 0;
  for (let i = 0; i < LENGTH; i++) sum += WEIGHTS[i]! * characterValue(vin[i]!);
  const remainder = sum % 11;
  return remainder === 10 ? 'X' : String(remainder);
}

/** Reads a VIN as it was typed. A check digit that does not fit is told, never refused. */
export function checkVin(typed: string): VinCheck {
  const plain = typed.replaceAll(/[\s-]/g, '');
  const strange = /[^A-Za-z0-9]/u.exec(plain)?.[0];
  if (strange) return { ok: false, problem: message('vin.strange', { character: strange }) };
  const vin = plain.toUpperCase();
  const barred = /[IOQ]/.exec(vin)?.[0];
  if (barred) {
    const meant = barred === 'I' ? '1' : '0';
    return { ok: false, problem: message('vin.barred', { letter: barred, digit: meant }) };
  }
  if (vin.length !== LENGTH) {
    return { ok: false, problem: message('vin.length', { length: vin.length }) };
  }
  const expected = vinCheckDigit(vin);
  if (vin[CHECK_AT] === expected) return { ok: true, vin, checkDigit: 'fits', expected, warning: null };
  const warning = REQUIRED_FROM.test(vin)
    ? message('vin.checkDigit', { expected })
    : message('vin.noCheckDigit');
  return { ok: true, vin, checkDigit: 'differs', expected, warning };
}

/** A VIN of a form: brought to its plain spelling, or refused with what is wrong. */
export const VinSchema = z.string().transform((typed, context) => {
  const check = checkVin(typed);
  if (check.ok) return check.vin;
  context.addIssue({ code: 'custom', message: textOf(check.problem) });
  return z.NEVER;
});
