import type { TFunction } from 'i18next';
import { en } from './en.ts';

/** A position in words; a place that the user named is shown as he wrote it. */
export function positionName(t: TFunction, position: string): string {
  return position in en.position ? t(`position.${position as keyof typeof en.position}`) : position;
}

/** A key as it is printed: `Shift+ArrowUp` becomes `Shift + ↑`. */
export function keyCap(t: TFunction, key: string): string {
  if (key === '+') return key;
  return key
    .split('+')
    .map((part) => (part in en.keyCap ? t(`keyCap.${part as keyof typeof en.keyCap}`) : part))
    .join(' + ');
}
