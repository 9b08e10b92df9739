import { useEffect, useRef } from 'react';
import { useTranslation } from 'react-i18next';
import { unitOf } from '../../shared/units/units.ts';
import { keyCap } from '../i18n/words.ts';
import { KEYS, type KeyAction, type KeyBinding, type KeyGroup, type KeyScreen } from '../keys.ts';
import { useApp } from '../store/context.ts';
import { Button } from './Button.tsx';
import styles from './KeyHelp.module.css';

const GROUPS: readonly KeyGroup[] = ['hear', 'see', 'screen', 'drive', 'play'];

/** All keys of a screen, read from the list that the screen itself listens to. */
export function KeyHelp({ screen, onClose }: { screen: KeyScreen; onClose(): void }) {
  const { t } = useTranslation();
  const unit = unitOf(
    'speed',
    useApp((s) => s.settings.units),
  );
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => dialog.current?.showModal(), []);
  const actions = (Object.keys(KEYS) as KeyAction[]).filter((action) =>
    (KEYS[action] as KeyBinding).on.includes(screen),
  );
  return (
    <dialog
      ref={dialog}
      className={styles.dialog}
      aria-labelledby="key-help-title"
      onClose={onClose}
      onKeyDown={(event) => {
        if (KEYS.help.keys.some((key) => key.toLowerCase() === event.key.toLowerCase()))
          dialog.current?.close();
      }}
    >
      <header className={styles.header}>
        <h1 id="key-help-title">{t('help.title')}</h1>
        <Button onClick={() => dialog.current?.close()}>{t('app.close')}</Button>
      </header>
      <div className={styles.groups}>
        {GROUPS.map((group) => {
          const members = actions.filter((action) => KEYS[action].group === group);
          if (members.length === 0) return null;
          return (
            <section key={group}>
              <h2>{t(`group.${group}`)}</h2>
              <dl className={styles.list}>
                {members.map((action) => (
                  <div key={action}>
                    <dt>
                      <Keys keys={KEYS[action].keys} />
                    </dt>
                    <dd>{t(`key.${action}`, { unit })}</dd>
                  </div>
                ))}
              </dl>
            </section>
          );
        })}
      </div>
    </dialog>
  );
}

function Keys({ keys }: { keys: readonly string[] }) {
  const { t } = useTranslation();
  if (keys.length > 3)
    return (
      <>
        <kbd>{keyCap(t, keys[0]!)}</kbd> {t('help.to')} <kbd>{keyCap(t, keys.at(-1)!)}</kbd>
      </>
    );
  return keys.map((key, i) => (
    <span key={key}>
      {i > 0 && ` ${t('help.or')} `}
      <kbd>{keyCap(t, key)}</kbd>
    </span>
  ));
}
