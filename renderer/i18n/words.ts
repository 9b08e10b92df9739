import type { TFunction } from 'i18next';
import { UNNAMED_VEHICLE } from '../../shared/visit-work/unnamed.ts';
import { en } from './en.ts';

/** A position in words; a place that the user named is shown as he wrote it. */
export function positionName(t: TFunction, position: string): string {
  return position in en.position ? t(`position.${position as keyof typeof en.position}`) : position;
}

/** A vehicle's own name, or that nobody has named it yet. */
export const vehicleName = (t: TFunction, label: string): string =>
  label === UNNAMED_VEHICLE ? t('work.newVehicle') : label;

/** A shaft in words, as a tacho may sit on it. */
export function shaftName(t: TFunction, shaft: string): string {
  return shaft in en.shaft ? t(`shaft.${shaft as keyof typeof en.shaft}`) : shaft;
}

/** A key as it is printed: `Shift+ArrowUp` becomes `Shift + ↑`. */
export function keyCap(t: TFunction, key: string): string {
  if (key === '+') return key;
  return key
    .split('+')
    .map((part) => (part in en.keyCap ? t(`keyCap.${part as keyof typeof en.keyCap}`) : part))
    .join(' + ');
}
