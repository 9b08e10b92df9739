import { z } from 'zod';
import { inside, shown, type UnitSystem } from '../../../shared/units/units.ts';
import type { FormError } from '../../i18n/form-errors.ts';

const say = (error: FormError) => error;

/** A number as typed, with point or comma; an empty field is unknown, which is not zero. */
export function optionalNumber(
  min: number,
  max: number,
  options: { integer?: boolean; read?: (typed: number) => number } = {},
) {
  return z.string().transform((text, context): number | null => {
    const typed = text.trim().replace(',', '.');
    if (typed === '') return null;
    const value = (options.read ?? Number)(Number(typed));
    const fault = !Number.isFinite(value)
      ? say('number')
      : value < min || value > max
        ? say('range')
        : options.integer && !Number.isInteger(value)
          ? say('integer')
          : null;
    if (fault === null) return value;
    context.addIssue({ code: 'custom', message: fault });
    return z.NEVER;
  });
}

/** A group of values that is only of use when all are known: all or none. */
export function allOrNone<S extends Record<string, z.ZodType<number | null, string>>>(shape: S) {
  type Known = { [K in keyof S]: number };
  return z.object(shape).transform((values, context): Known | null => {
    const entries = Object.entries(values) as [string, number | null][];
    if (entries.every(([, value]) => value === null)) return null;
    const missing = entries.filter(([, value]) => value === null);
    for (const [key] of missing)
      context.addIssue({ code: 'custom', path: [key], message: say('missingOfGroup') });
    return missing.length > 0 ? z.NEVER : (values as unknown as Known);
  });
}

/** As many digits as anybody reads off; more are rounding errors of the way to miles and back. */
const DIGITS = 7;
const rounded = (value: number): number => Number(value.toPrecision(DIGITS));

/**
 * A distance as typed in the shop's units, in km.
 * @param before_km what the field was filled with: untouched, it stays exactly that
 */
export function optionalDistance(
  min_km: number,
  max_km: number,
  units: UnitSystem,
  before_km: number | null | undefined,
) {
  const untouched = distanceAsTyped(before_km, units);
  return optionalNumber(min_km, max_km, {
    read: (typed) =>
      before_km != null && typed === Number(untouched)
        ? before_km
        : rounded(inside(typed, 'distance', units)),
  });
}

/** A known distance as it stands in a form field. */
export const distanceAsTyped = (km: number | null | undefined, units: UnitSystem): string =>
  asTyped(km == null ? null : rounded(shown(km, 'distance', units)));

/** A known number as it stands in a form field; unknown is empty. */
export const asTyped = (value: number | null | undefined): string => (value == null ? '' : String(value));
