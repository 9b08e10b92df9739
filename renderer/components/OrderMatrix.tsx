import { useTranslation } from 'react-i18next';
import type { BundleChannel } from '../../shared/bundle/visit.ts';
import { type LineLevels, loudestChannel } from '../levels/order-groups.ts';
import { formatLevel, fullScaleOf, type LevelScale } from '../levels/scale.ts';
import styles from './OrderMatrix.module.css';

const MOST_NUMBERED = 16;

interface Props {
  lines: readonly LineLevels[];
  channels: readonly BundleChannel[];
  heard: number | null;
  scale: LevelScale;
}

/** Many channels: one row per part's order, one thin column per channel, a cap where the line is strongest. */
export function OrderMatrix({ lines, channels, heard, scale }: Props) {
  const { t, i18n } = useTranslation();
  if (lines.length === 0) return null;
  // Thin columns have no room for every number.
  const shown = (channel: number) =>
    channels.length <= MOST_NUMBERED || channel % 4 === 0 || channel === 1 || channel === heard;
  const fullScales = channels.map(fullScaleOf);
  return (
    <section className={styles.panel} aria-label={t('live.ordersLabel')}>
      <table className={styles.table}>
        <thead>
          <tr>
            <th scope="col">{t('live.ordersLabel')}</th>
            {channels.map((c) => (
              <th key={c.channel} scope="col" className={c.channel === heard ? styles.heard : undefined}>
                {shown(c.channel) ? c.channel : ''}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {lines.map((line) => {
            const strongest = loudestChannel(line, (ratio, i) => ratio * (fullScales[i] ?? 1));
            return (
              <tr key={line.label}>
                <th scope="row">{line.label}</th>
                {channels.map(({ channel }, i) => {
                  const ratio = line.rms[i] ?? null;
                  if (ratio === null) return <td key={channel} />;
                  const fullScale = fullScales[i] ?? null;
                  const text = formatLevel(scale.value(ratio, fullScale), scale.decibel, i18n.language);
                  return (
                    <td key={channel} title={`${line.label}: ${text} ${scale.label}`}>
                      <span
                        className={i === strongest ? styles.strongest : styles.level}
                        style={{ blockSize: `${scale.linePlace(ratio, fullScale) * 100}%` }}
                      />
                    </td>
                  );
                })}
              </tr>
            );
          })}
        </tbody>
      </table>
    </section>
  );
}
