import { useTranslation } from 'react-i18next';
import styles from './FullPage.module.css';

export function Connecting() {
  const { t } = useTranslation();
  return (
    <main className={styles.page} aria-busy="true">
      <h1>{t('app.name')}</h1>
      <p>{t('app.connecting')}</p>
    </main>
  );
}

/** Lies over whatever screen stands, so that nothing stale is taken for live. */
export function ConnectionLost() {
  const { t } = useTranslation();
  return (
    <div className={styles.over} role="alert">
      <strong>{t('app.lost')}</strong>
      <span>{t('app.lostMore')}</span>
    </div>
  );
}
