/**
 * Between the SI-based values inside and what a screen or a report shows. Factors are exact by definition unless
 * marked: NIST SP 811, Appendix B.8 (international foot and inch, standard gravity, pound; from memory).
 */

export const UNIT_SYSTEMS = ['metric', 'imperial'] as const;
export type UnitSystem = (typeof UNIT_SYSTEMS)[number];

export const KM_PER_MILE = 1.609344;
export const MM_PER_INCH = 25.4;
/** 0.45359237 kg under standard gravity on a square inch. */
export const KPA_PER_PSI = (0.45359237 * 9.80665) / 0.0254 ** 2 / 1000;
/** 0.45359237 kg under standard gravity at the end of a foot. */
export const NM_PER_POUND_FOOT = 0.45359237 * 9.80665 * 0.3048;
/** 231 cubic inches in a gallon of four quarts. */
export const LITRES_PER_US_QUART = (231 * 2.54 ** 3) / 1000 / 4;

/** What is shown in either system, with the factor from the value inside. */
const QUANTITIES = {
  speed: { inside: 'km/h', imperial: 'mph', insidePerImperial: KM_PER_MILE, digits: [0, 0] },
  distance: { inside: 'km', imperial: 'mi', insidePerImperial: KM_PER_MILE, digits: [0, 0] },
  tread: { inside: 'mm', imperial: 'in', insidePerImperial: MM_PER_INCH, digits: [1, 2] },
  pressure: { inside: 'kPa', imperial: 'psi', insidePerImperial: KPA_PER_PSI, digits: [0, 1] },
  torque: { inside: 'Nm', imperial: 'lb ft', insidePerImperial: NM_PER_POUND_FOOT, digits: [0, 0] },
  volume: { inside: 'l', imperial: 'US qt', insidePerImperial: LITRES_PER_US_QUART, digits: [2, 2] },
} as const;
export type Quantity = keyof typeof QUANTITIES;

export const unitOf = (quantity: Quantity, system: UnitSystem): string =>
  system === 'metric' ? QUANTITIES[quantity].inside : QUANTITIES[quantity].imperial;

/** From the value inside (km/h, km, mm, kPa, Nm, l) to the one shown. */
export const shown = (value: number, quantity: Quantity, system: UnitSystem): number =>
  system === 'metric' ? value : value / QUANTITIES[quantity].insidePerImperial;

/** From the value typed to the one inside. */
export const inside = (typed: number, quantity: Quantity, system: UnitSystem): number =>
  system === 'metric' ? typed : typed * QUANTITIES[quantity].insidePerImperial;

/** Rounded to what the trade reads off, with its unit: `80 km/h`, `50 mph`. */
export function withUnit(value: number, quantity: Quantity, system: UnitSystem, locale = 'en'): string {
  const digits = QUANTITIES[quantity].digits[system === 'metric' ? 0 : 1];
  const number = shown(value, quantity, system).toLocaleString(locale, {
    minimumFractionDigits: digits,
    maximumFractionDigits: digits,
  });
  return `${number} ${unitOf(quantity, system)}`;
}
