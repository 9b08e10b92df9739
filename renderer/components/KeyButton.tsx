import { useTranslation } from 'react-i18next';
import { keyCap } from '../i18n/words.ts';
import { KEYS, type KeyAction } from '../keys.ts';
import type { KeyHandlers } from '../use-keys.ts';
import styles from './KeyButton.module.css';

/** A key shown as its cap, which can also be pressed with a pointer. */
export function KeyButton({ action, keys }: { action: KeyAction; keys: KeyHandlers }) {
  const { t } = useTranslation();
  const name = KEYS[action].keys[0];
  return (
    <button
      type="button"
      className={styles.cap}
      aria-label={t(`key.${action}`)}
      title={t(`key.${action}`)}
      aria-keyshortcuts={name}
      onClick={() => keys[action]?.(name)}
    >
      {name === 'Space' ? '␣' : keyCap(t, name)}
    </button>
  );
}
