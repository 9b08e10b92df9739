import { useTranslation } from 'react-i18next';
import { useTell } from '../i18n/use-tell.ts';
import { useApp } from '../store/context.ts';
import { Button } from './Button.tsx';
import styles from './Notices.module.css';

/** Sentences from the main side and refused commands, until they are dismissed. */
export function Notices() {
  const { t } = useTranslation();
  const tell = useTell();
  const notices = useApp((s) => s.notices);
  const dismiss = useApp((s) => s.dismiss);
  return (
    <section className={styles.notices} aria-label={t('app.notices')} aria-live="polite">
      {notices.map((notice) => (
        <div key={notice.id} className={styles.notice}>
          <p>{tell(notice.told)}</p>
          <Button onClick={() => dismiss(notice.id)}>{t('app.dismiss')}</Button>
        </div>
      ))}
    </section>
  );
}
