import { useTranslation } from 'react-i18next';
import { Link, useLocation } from 'wouter';
import { formatDuration } from '../format.ts';
import { useApp } from '../store/context.ts';
import { Button } from './Button.tsx';
import styles from './TopBar.module.css';

/** The way between screens, with a word on what the live side is doing meanwhile. */
export function TopBar() {
  const { t } = useTranslation();
  const [location] = useLocation();
  const live = useApp((s) => s.live);
  const theme = useApp((s) => s.theme);
  const flipTheme = useApp((s) => s.flipTheme);
  const current = (path: string) => (location === path ? ('page' as const) : undefined);
  return (
    <header className={styles.bar}>
      <span className={styles.name}>{t('app.name')}</span>
      <nav className={styles.nav} aria-label={t('app.nav')}>
        <Link href="/" aria-current={current('/')}>
          {t('nav.vehicles')}
        </Link>
        <Link href="/due" aria-current={current('/due')}>
          {t('nav.due')}
        </Link>
        <Link href="/setup" aria-current={current('/setup')}>
          {t('nav.setup')}
        </Link>
        <Link href="/live" aria-current={current('/live')}>
          {t('nav.live')}
          {live?.recording && (
            <b>
              {' '}
              ● {t('live.recording')} {formatDuration(live.recording.seconds)}
            </b>
          )}
        </Link>
        <Link href="/keeping" aria-current={current('/keeping')}>
          {t('nav.keeping')}
        </Link>
        <Link href="/settings" aria-current={current('/settings')}>
          {t('nav.settings')}
        </Link>
      </nav>
      <Button onClick={flipTheme}>{t(theme === 'day' ? 'app.night' : 'app.day')}</Button>
    </header>
  );
}
