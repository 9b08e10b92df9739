import { useTranslation } from 'react-i18next';
import type { SpeedBand } from '../../shared/diagnosis/comparable.ts';
import { type Quantity, shown, withUnit } from '../../shared/units/units.ts';
import { useApp } from '../store/context.ts';

/** A value as the shop reads it, in its units and language: `87 km/h`, `54 mph`. */
export function useQuantity(): (value: number, quantity: Quantity) => string {
  const { i18n } = useTranslation();
  const units = useApp((s) => s.settings.units);
  return (value, quantity) => withUnit(value, quantity, units, i18n.language);
}

/** Both ends of a speed band for a text; the upper one has the unit. */
export function useSpeedRange(): (band: SpeedBand) => { low: string; high: string } {
  const quantity = useQuantity();
  const units = useApp((s) => s.settings.units);
  return ({ low_km_h, high_km_h }) => ({
    low: shown(low_km_h, 'speed', units).toFixed(0),
    high: quantity(high_km_h, 'speed'),
  });
}
