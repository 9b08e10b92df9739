import { useTranslation } from 'react-i18next';
import { type Quantity, withUnit } from '../../shared/units/units.ts';
import { useApp } from '../store/context.ts';

/** A value as the shop reads it, in its units and language: `87 km/h`, `54 mph`. */
export function useQuantity(): (value: number, quantity: Quantity) => string {
  const { i18n } = useTranslation();
  const units = useApp((s) => s.settings.units);
  return (value, quantity) => withUnit(value, quantity, units, i18n.language);
}
