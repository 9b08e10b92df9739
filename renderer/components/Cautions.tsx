import { useTranslation } from 'react-i18next';
import styles from './Cautions.module.css';

/** The usual cautions before a drive; high voltage only where the drive is electric or not known to be otherwise. */
export function Cautions({ highVoltage }: { highVoltage: boolean }) {
  const { t } = useTranslation();
  const all = [
    'passenger',
    'leads',
    'recheck',
    'lift',
    ...(highVoltage ? (['highVoltage'] as const) : []),
    'law',
  ] as const;
  return (
    <section className={styles.box} aria-labelledby="cautions-title">
      <h2 id="cautions-title">⚠ {t('caution.title')}</h2>
      <ul>
        {all.map((caution) => (
          <li key={caution}>{t(`caution.${caution}`)}</li>
        ))}
      </ul>
    </section>
  );
}
