import { useTranslation } from 'react-i18next';
import type { HardStop } from '../../shared/diagnosis/inspection.ts';
import { useTell } from '../i18n/use-tell.ts';
import styles from './HardStops.module.css';

/** Nobody drives on with these: said so that it cannot be missed. */
export function HardStops({ stops }: { stops: readonly HardStop[] }) {
  const { t } = useTranslation();
  const tell = useTell();
  if (stops.length === 0) return null;
  return (
    <section className={styles.stop} role="alert">
      <svg viewBox="0 0 24 24" aria-hidden="true">
        <path
          d="M8 2H16L22 8V16L16 22H8L2 16V8ZM6 10.5V13.5H18V10.5Z"
          fillRule="evenodd"
          fill="currentColor"
        />
      </svg>
      <div>
        <h2>{t('inspection.stopTitle')}</h2>
        {stops.map((stop) => (
          <p key={stop.position}>{tell(stop.text)}</p>
        ))}
      </div>
    </section>
  );
}
