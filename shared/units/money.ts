/** Money is counted in whole minor units of its currency, so that sums on the report add up to the last cent. */

/** Digits after the point of a currency (ISO 4217); two for one that the runtime does not know. */
export function minorDigits(currency: string): number {
  return (
    new Intl.NumberFormat('en', { style: 'currency', currency }).resolvedOptions().maximumFractionDigits ?? 2
  );
}

/** An amount in minor units, rounded half away from zero as money is. */
export function toMinor(amount: number, currency: string): number {
  const scaled = amount * 10 ** minorDigits(currency);
  // 1.005 is kept as 1.00499…: what was typed counts, not its binary neighbour.
  return Math.sign(scaled) * Math.round(Number(Math.abs(scaled).toPrecision(15)));
}

export const fromMinor = (minor: number, currency: string): number => minor / 10 ** minorDigits(currency);

/** As it stands on the screen and the report: `€1,234.50`. */
export const moneyText = (minor: number, currency: string, locale = 'en'): string =>
  new Intl.NumberFormat(locale, { style: 'currency', currency }).format(fromMinor(minor, currency));
