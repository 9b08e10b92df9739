import type { ReactNode } from 'react';
import styles from './Page.module.css';
import { TopBar } from './TopBar.tsx';

/** A screen of the workshop bench (everything but the live view): top bar and content. */
export function Page({ children }: { children: ReactNode }) {
  return (
    <div className={styles.page}>
      <TopBar />
      <main className={styles.main}>{children}</main>
    </div>
  );
}
