import type { ReactNode } from 'react';
import styles from './FieldGroup.module.css';

/** Fields that belong together, as many in a row as there is room. */
export function FieldGroup({ title, children }: { title: string; children: ReactNode }) {
  return (
    <fieldset className={styles.group}>
      <legend>{title}</legend>
      {children}
    </fieldset>
  );
}

/** A field, or words, over the whole width of its group. */
export const Wide = ({ children }: { children: ReactNode }) => <div className={styles.wide}>{children}</div>;
