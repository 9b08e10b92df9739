import { useTranslation } from 'react-i18next';
import { Link } from 'wouter';
import type { LiveState } from '../../../shared/contract/live.ts';
import { formatNumber } from '../../format.ts';
import { vehicleName } from '../../i18n/words.ts';
import { KEYS } from '../../keys.ts';
import type { LevelScale } from '../../levels/scale.ts';
import styles from './LiveScreen.module.css';

/** Where the samples come from, what the bars measure, and the way out. */
export function LiveFooter({ live, scale }: { live: LiveState; scale: LevelScale }) {
  const { t, i18n } = useTranslation();
  return (
    <footer className={styles.footer}>
      <Link href="/">{live.vehicleLabel ? vehicleName(t, live.vehicleLabel) : t('nav.vehicles')}</Link>
      <Link href="/setup">{t('nav.setup')}</Link>
      <span>
        {live.source &&
          `${live.source.kind === 'demo' ? t('source.demo') : live.source.name}, ${formatNumber(live.source.sampleRate_Hz / 1000, i18n.language)} kHz`}
      </span>
      <span>
        {t('live.measured')}: <b>{t(`band.${live.meterBand}`)}</b> <kbd>{KEYS.meterBand.keys[0]}</kbd>,{' '}
        {scale.label} <kbd>{KEYS.unit.keys[0]}</kbd>
      </span>
      {live.scale === 'relative' && <span>{t('live.relative')}</span>}
      <span className={styles.hint}>
        <kbd>{KEYS.help.keys[0]}</kbd> {t('help.keys')} · {t('live.notForDriver')}
      </span>
    </footer>
  );
}
