import { useEffect, useRef, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { textOf } from '../../shared/messages/as-text.ts';
import { toldOf } from '../../shared/messages/told-error.ts';
import { formatBytes } from '../format.ts';
import { useErrorText } from '../i18n/use-error-text.ts';
import { useApp } from '../store/context.ts';
import { Button } from './Button.tsx';
import styles from './PhotoField.module.css';
import { LARGEST_FILE_BYTES, pictureOf } from './picture.ts';

interface Props {
  label: string;
  /** Null for the shop's logo. */
  visitId: number | null;
  /** The attachment's number as the form has it; empty for none. */
  value: string;
  error: string | undefined;
  onChange(value: string): void;
}

/** A picture out of a file; it is kept at once, and the form holds its number. */
export function PhotoField({ label, visitId, value, error, onChange }: Props) {
  const { t, i18n } = useTranslation();
  const errorText = useErrorText();
  const addPicture = useApp((s) => s.addPicture);
  const loadPicture = useApp((s) => s.loadPicture);
  const url = useApp((s) => s.pictures[Number(value)]);
  const input = useRef<HTMLInputElement>(null);
  const [problem, setProblem] = useState<string>();
  const id = Number(value);
  useEffect(() => {
    if (id > 0) void loadPicture(id);
  }, [id, loadPicture]);

  const take = async (file: File | undefined) => {
    if (!file) return;
    setProblem(undefined);
    if (file.size > LARGEST_FILE_BYTES) {
      const size = formatBytes(LARGEST_FILE_BYTES, i18n.language);
      return setProblem(t('inspection.photoTooLarge', { size }));
    }
    const picture = await pictureOf(file).catch(() => null);
    if (!picture) return setProblem(t('inspection.photoUnreadable'));
    try {
      const added = await addPicture(visitId, file.name.slice(0, 200), picture);
      onChange(String(added));
    } catch (refused) {
      setProblem(textOf(toldOf(refused)));
    }
  };
  const wrong = problem ?? error;
  return (
    <div className={styles.photo}>
      <b>{label}</b>
      {url && <img src={url} alt={label} />}
      <input
        ref={input}
        type="file"
        accept="image/*"
        className="visually-hidden"
        tabIndex={-1}
        aria-label={label}
        onChange={(event) => {
          void take(event.target.files?.[0]);
          event.target.value = '';
        }}
      />
      <span className={styles.buttons}>
        <Button
          aria-label={`${label}: ${t(url ? 'inspection.photoChange' : 'inspection.photoAdd')}`}
          onClick={() => input.current?.click()}
        >
          {t(url ? 'inspection.photoChange' : 'inspection.photoAdd')}
        </Button>
        {value !== '' && <Button onClick={() => onChange('')}>{t('inspection.photoRemove')}</Button>}
      </span>
      {wrong && (
        <span className={styles.error} role="alert">
          ⚠ {errorText(wrong)}
        </span>
      )}
    </div>
  );
}
