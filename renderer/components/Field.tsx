import { type ComponentProps, useId } from 'react';
import { useErrorText } from '../i18n/use-error-text.ts';
import styles from './Field.module.css';

interface Common {
  label: string;
  /** What the value is good for, or how it is written. */
  hint?: string | undefined;
  /** See `useErrorText`. */
  error?: string | undefined;
}

function useField({ hint, error }: Common) {
  const id = useId();
  const errorText = useErrorText();
  const described = [hint && `${id}-hint`, error && `${id}-error`].filter(Boolean).join(' ');
  return {
    control: { id, 'aria-describedby': described || undefined, 'aria-invalid': error ? true : undefined },
    id,
    error: error && errorText(error),
  };
}

function Around({
  field,
  label,
  hint,
  children,
}: Common & { field: ReturnType<typeof useField>; children: React.ReactNode }) {
  return (
    <div className={styles.field}>
      <label htmlFor={field.id}>{label}</label>
      {children}
      {hint && (
        <span id={`${field.id}-hint`} className={styles.hint}>
          {hint}
        </span>
      )}
      {field.error && (
        <span id={`${field.id}-error`} className={styles.error} role="alert">
          ⚠ {field.error}
        </span>
      )}
    </div>
  );
}

export function TextField({ label, hint, error, ...input }: Common & ComponentProps<'input'>) {
  const field = useField({ label, hint, error });
  return (
    <Around field={field} label={label} hint={hint}>
      <input {...input} {...field.control} className={styles.control} />
    </Around>
  );
}

export function TextArea({ label, hint, error, ...input }: Common & ComponentProps<'textarea'>) {
  const field = useField({ label, hint, error });
  return (
    <Around field={field} label={label} hint={hint}>
      <textarea rows={3} {...input} {...field.control} className={styles.control} />
    </Around>
  );
}

export function SelectField({ label, hint, error, ...input }: Common & ComponentProps<'select'>) {
  const field = useField({ label, hint, error });
  return (
    <Around field={field} label={label} hint={hint}>
      <select {...input} {...field.control} className={styles.control} />
    </Around>
  );
}
