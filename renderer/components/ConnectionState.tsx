import { useTranslation } from 'react-i18next';
import { useApp } from '../store/context.ts';
import styles from './FullPage.module.css';

function Connecting() {
  const { t } = useTranslation();
  return (
    <main className={styles.page} aria-busy="true">
      <h1>{t('app.name')}</h1>
      <p>{t('app.connecting')}</p>
    </main>
  );
}

/** Nothing has been heard of the main side yet, or it is lost. */
export function NotConnected() {
  const { t } = useTranslation();
  const status = useApp((s) => s.connection);
  if (status === 'open' || status === 'connecting') return <Connecting />;
  return (
    <main className={styles.page} role="alert">
      <h1>{t(`app.${status}`)}</h1>
      <p>{t(`app.${status}More`)}</p>
    </main>
  );
}

/** Lies over whatever screen stands, so that nothing stale is taken for live. */
export function ConnectionLost() {
  const { t } = useTranslation();
  const status = useApp((s) => s.connection);
  if (status === 'open' || status === 'connecting') return null;
  return (
    <div className={styles.over} role="alert">
      <strong>{t(`app.${status}`)}</strong>
      <span>{t(`app.${status}More`)}</span>
    </div>
  );
}
