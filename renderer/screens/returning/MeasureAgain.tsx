import { useTranslation } from 'react-i18next';
import { Button } from '../../components/Button.tsx';
import { useRequest } from '../keeping/use-request.ts';
import styles from './WearPanel.module.css';

/** Measures a visit's recordings anew, for instance when tooth counts have become known since. */
export function MeasureAgain({ visitId }: { visitId: number }) {
  const { t } = useTranslation();
  const { working, error, answer, send } = useRequest('visits.measure');
  return (
    <section className={styles.panel} aria-labelledby="measure-title">
      <h2 id="measure-title">{t('measureAgain.title')}</h2>
      <div className={styles.head}>
        <p>{t('measureAgain.hint')}</p>
        <Button disabled={working} onClick={() => void send({ visitId })}>
          {t('measureAgain.now')}
        </Button>
      </div>
      <div role="status">
        {error && <p>⚠ {error}</p>}
        {answer !== undefined && <p>✓ {t('measureAgain.begun')}</p>}
      </div>
    </section>
  );
}
