import { useEffect, useEffectEvent } from 'react';
import { type KeyAction, type KeyScreen, keyAction } from './keys.ts';

export type KeyHandlers = Partial<Record<KeyAction, (name: string) => void>>;

const TYPING = 'input, textarea, select, [contenteditable="true"]';
/** These take the space bar themselves when they have the focus. */
const PRESSABLE = 'button, a[href], summary, [role="button"]';

/** Whether the focused element should have the key instead of the screen. */
function belongsToFocus(event: KeyboardEvent): boolean {
  const target = event.target instanceof Element ? event.target : null;
  if (!target) return false;
  if (document.querySelector('dialog[open]')) return true;
  // A dialog that has just been closed keeps the focus until the page is drawn again.
  if (!target.checkVisibility()) return false;
  return target.closest(TYPING) !== null || (event.key === ' ' && target.closest(PRESSABLE) !== null);
}

/** Runs the handlers of a screen's keys while the component stands; never while something is typed. */
export function useKeys(screen: KeyScreen, handlers: KeyHandlers): void {
  const onKey = useEffectEvent((event: KeyboardEvent) => {
    if (event.defaultPrevented || belongsToFocus(event)) return;
    const hit = keyAction(event, screen);
    const handler = hit && handlers[hit.action];
    if (!handler) return;
    event.preventDefault();
    handler(hit.name);
  });
  useEffect(() => {
    const listener = (event: KeyboardEvent) => onKey(event);
    // A button that was clicked would keep the focus and swallow the next space bar.
    const letGo = (event: MouseEvent) => {
      const pressed = event.target instanceof Element ? event.target.closest('button, a') : null;
      if (event.detail > 0 && pressed instanceof HTMLElement) pressed.blur();
    };
    window.addEventListener('keydown', listener);
    window.addEventListener('click', letGo);
    return () => {
      window.removeEventListener('keydown', listener);
      window.removeEventListener('click', letGo);
    };
  }, []);
}
