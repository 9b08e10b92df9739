import { type FormEvent, useId, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { inside, shown, unitOf } from '../../../shared/units/units.ts';
import { useApp } from '../../store/context.ts';
import styles from './StatusStrip.module.css';

/** Numbers that can be typed while driving, each behind its key. */
export type TypedField = 'speed' | 'gearRatio';

const FASTEST_km_h = 400;

interface Props {
  field: TypedField;
  onDone(): void;
}

/** A number typed in place: Enter sets it, Escape leaves it as it was; nonsense stays to be mended. */
export function TypedNumber({ field, onDone }: Props) {
  const { t } = useTranslation();
  const id = useId();
  const command = useApp((s) => s.command);
  const units = useApp((s) => s.settings.units);
  const [text, setText] = useState('');
  const [refused, setRefused] = useState(false);
  const unit = unitOf('speed', units);
  const submit = (event: FormEvent) => {
    event.preventDefault();
    const typed = text.trim().replace(',', '.');
    const value = Number(typed);
    const speed_km_h = inside(value, 'speed', units);
    if (field === 'speed' && typed !== '' && speed_km_h >= 0 && speed_km_h <= FASTEST_km_h)
      void command('live.speed', { km_h: speed_km_h });
    else if (field === 'gearRatio' && (typed === '' || value > 0))
      void command('live.gearRatio', { gearRatio: typed === '' ? null : value });
    else if (typed !== '') return setRefused(true);
    onDone();
  };
  return (
    <form onSubmit={submit}>
      <input
        className={styles.typed}
        inputMode="decimal"
        aria-label={field === 'speed' ? t('live.speedField', { unit }) : t('live.gearField')}
        placeholder={field === 'speed' ? unit : t('live.gearShort')}
        aria-invalid={refused || undefined}
        aria-describedby={refused ? id : undefined}
        // biome-ignore lint/a11y/noAutofocus: it appears by its key and is typed into at once
        autoFocus
        value={text}
        onChange={(event) => {
          setText(event.target.value);
          setRefused(false);
        }}
        onBlur={onDone}
        onKeyDown={(event) => event.key === 'Escape' && onDone()}
      />
      {refused && (
        <small id={id} role="alert">
          ⚠{' '}
          {field === 'speed'
            ? t('live.speedRefused', { most: Math.floor(shown(FASTEST_km_h, 'speed', units)), unit })
            : t('live.gearRefused')}
        </small>
      )}
    </form>
  );
}
