import { useTranslation } from 'react-i18next';
import type { GearPair, VehicleSpec } from '../../../shared/bundle/visit.ts';
import { formatNumber } from '../../format.ts';
import styles from './VehicleScreen.module.css';

/** What is known of the running gear; what is unknown says so. */
export function RunningGear({ spec }: { spec: VehicleSpec }) {
  const { t, i18n } = useTranslation();
  const number = (value: number | null | undefined, unit: string) =>
    value == null ? t('app.notKnown') : `${formatNumber(value, i18n.language)}${unit}`;
  const teeth = (pair: GearPair | null | undefined) =>
    pair ? `${pair.ringTeeth} : ${pair.pinionTeeth}` : t('app.notKnown');
  const bearing = spec.wheelBearing;
  const rows: [string, string][] = [
    [t('form.layout'), t(`layout.${spec.layout}`)],
    [t('gear.circumference'), number(spec.rollingCircumference_m, ' m')],
    ...(spec.layout === 'rwd' ? [] : [[t('gear.front'), teeth(spec.finalDrive?.front)] as [string, string]]),
    ...(spec.layout === 'fwd' ? [] : [[t('gear.rear'), teeth(spec.finalDrive?.rear)] as [string, string]]),
    spec.electricDrive
      ? [t('gear.drive'), t('form.electric')]
      : [t('form.cylinders'), number(spec.engine?.cylinders, '')],
    [t('gear.bearing'), bearing ? t('gear.bearingIs', bearing) : t('app.notKnown')],
  ];
  return (
    <section className={styles.gear} aria-labelledby="gear-title">
      <h2 id="gear-title">{t('form.runningGear')}</h2>
      <dl>
        {rows.map(([name, value]) => (
          <div key={name} style={{ display: 'contents' }}>
            <dt>{name}</dt>
            <dd>{value}</dd>
          </div>
        ))}
      </dl>
      {spec.electricDrive && <p>⚠ {t('caution.highVoltage')}</p>}
    </section>
  );
}
