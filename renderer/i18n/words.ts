import type { TFunction } from 'i18next';
import { POSITIONS } from '../../shared/driveline/words.ts';
import { en } from './en.ts';

/** A position in words; a place that the user named is shown as he wrote it. */
export function positionName(t: TFunction, position: string): string {
  return (POSITIONS as readonly string[]).includes(position)
    ? t(`position.${position as (typeof POSITIONS)[number]}`)
    : position;
}

/** A key as it is printed: `Shift+ArrowUp` becomes `Shift + ↑`. */
export function keyCap(t: TFunction, key: string): string {
  if (key === '+') return key;
  return key
    .split('+')
    .map((part) => (part in en.keyCap ? t(`keyCap.${part as keyof typeof en.keyCap}`) : part))
    .join(' + ');
}
