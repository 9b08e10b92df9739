import { useTranslation } from 'react-i18next';
import { unitOf } from '../../shared/units/units.ts';
import { keyCap } from '../i18n/words.ts';
import { KEYS, type KeyAction } from '../keys.ts';
import { useApp } from '../store/context.ts';
import type { KeyHandlers } from '../use-keys.ts';
import styles from './KeyButton.module.css';

/** A key shown as its cap, which can also be pressed with a pointer. */
export function KeyButton({ action, keys }: { action: KeyAction; keys: KeyHandlers }) {
  const { t } = useTranslation();
  const unit = unitOf(
    'speed',
    useApp((s) => s.settings.units),
  );
  const name = KEYS[action].keys[0];
  return (
    <button
      type="button"
      className={styles.cap}
      aria-label={t(`key.${action}`, { unit })}
      title={t(`key.${action}`, { unit })}
      aria-keyshortcuts={name}
      onClick={() => keys[action]?.(name)}
    >
      {name === 'Space' ? '␣' : keyCap(t, name)}
    </button>
  );
}
