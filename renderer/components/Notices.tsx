import { useTranslation } from 'react-i18next';
import { useApp } from '../store/context.ts';
import { Button } from './Button.tsx';
import styles from './Notices.module.css';

/** Sentences from the main side and refused commands, until they are dismissed. */
export function Notices() {
  const { t } = useTranslation();
  const notices = useApp((s) => s.notices);
  const dismiss = useApp((s) => s.dismiss);
  return (
    <section className={styles.notices} aria-label={t('app.notices')} aria-live="polite">
      {notices.map((notice) => (
        <div key={notice.id} className={styles.notice}>
          <p>{notice.text}</p>
          <Button onClick={() => dismiss(notice.id)}>{t('app.dismiss')}</Button>
        </div>
      ))}
    </section>
  );
}
