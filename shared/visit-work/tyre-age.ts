/** The week in which a tyre was made, from the last four digits of its DOT line (49 CFR 574.5: week, then year). */
export type MadeIn = { readonly week: number; readonly year: number };

/** @returns null when the text is not such a code; codes of three digits, before 2000, are too old to drive on */
export function madeInWeek(code: string): MadeIn | null {
  if (!/^\d{4}$/.test(code)) return null;
  const week = Number(code.slice(0, 2));
  return week >= 1 && week <= 53 ? { week, year: 2000 + Number(code.slice(2)) } : null;
}

const DAY_ms = 86_400_000;

/** Age in years at a date; null for a code that is not one, or lies in the future. */
export function tyreAge_years(code: string, at: Date): number | null {
  const made = madeInWeek(code);
  if (!made) return null;
  const age = (at.getTime() - (Date.UTC(made.year, 0, 1) + (made.week - 1) * 7 * DAY_ms)) / (365.25 * DAY_ms);
  return age >= 0 ? age : null;
}
