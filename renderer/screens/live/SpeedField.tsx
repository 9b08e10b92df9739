import { type FormEvent, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { useApp } from '../../store/context.ts';
import styles from './StatusStrip.module.css';

/** The speed typed as a number: Enter sets it, Escape leaves it as it was. */
export function SpeedField({ onDone }: { onDone(): void }) {
  const { t } = useTranslation();
  const command = useApp((s) => s.command);
  const [text, setText] = useState('');
  const submit = (event: FormEvent) => {
    event.preventDefault();
    const km_h = Number(text.replace(',', '.'));
    if (text.trim() !== '' && km_h >= 0 && km_h <= 400) void command('live.speed', { km_h });
    onDone();
  };
  return (
    <form onSubmit={submit}>
      <input
        className={styles.speedField}
        inputMode="decimal"
        aria-label={t('live.speedField')}
        // biome-ignore lint/a11y/noAutofocus: it appears by its key and is typed into at once
        autoFocus
        value={text}
        onChange={(event) => setText(event.target.value)}
        onBlur={onDone}
        onKeyDown={(event) => event.key === 'Escape' && onDone()}
      />
    </form>
  );
}
