import { type FormEvent, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { useApp } from '../../store/context.ts';
import styles from './StatusStrip.module.css';

/** Numbers that can be typed while driving, each behind its key. */
export type TypedField = 'speed' | 'gearRatio';

interface Props {
  field: TypedField;
  onDone(): void;
}

/** A number typed in place: Enter sets it, Escape leaves it as it was. */
export function TypedNumber({ field, onDone }: Props) {
  const { t } = useTranslation();
  const command = useApp((s) => s.command);
  const [text, setText] = useState('');
  const submit = (event: FormEvent) => {
    event.preventDefault();
    const typed = text.trim().replace(',', '.');
    const value = Number(typed);
    if (field === 'speed' && typed !== '' && value >= 0 && value <= 400)
      void command('live.speed', { km_h: value });
    if (field === 'gearRatio' && (typed === '' || value > 0))
      void command('live.gearRatio', { gearRatio: typed === '' ? null : value });
    onDone();
  };
  return (
    <form onSubmit={submit}>
      <input
        className={styles.typed}
        inputMode="decimal"
        aria-label={t(field === 'speed' ? 'live.speedField' : 'live.gearField')}
        placeholder={t(field === 'speed' ? 'live.speedShort' : 'live.gearShort')}
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
