import { useTranslation } from 'react-i18next';
import type { LiveState } from '../../../shared/contract/live.ts';
import { formatLevel, fullScaleOf, type LevelScale } from '../../levels/scale.ts';
import { useApp } from '../../store/context.ts';
import styles from './OrderMatrix.module.css';
import { loudestChannel } from './order-groups.ts';

/** Many channels: one row per part's order, one thin column per channel, a cap where the line is strongest. */
export function OrderMatrix({ live, scale }: { live: LiveState; scale: LevelScale }) {
  const { t } = useTranslation();
  const lines = useApp((s) => s.orders?.lines);
  if (!lines?.length) return null;
  const fullScales = live.channels.map(fullScaleOf);
  return (
    <section className={styles.panel} aria-label={t('live.ordersLabel')}>
      <table className={styles.table}>
        <thead>
          <tr>
            <th scope="col">{t('live.ordersLabel')}</th>
            {live.channels.map((c) => (
              <th key={c.channel} scope="col" className={c.channel === live.heard ? styles.heard : undefined}>
                {c.channel}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {lines.map((line) => {
            const strongest = loudestChannel(line, (ratio, channel) => ratio * (fullScales[channel] ?? 1));
            return (
              <tr key={line.label}>
                <th scope="row">{line.label}</th>
                {line.rms.map((ratio, i) => (
                  <td key={live.channels[i]?.channel ?? i}>
                    {ratio !== null && (
                      <span
                        className={i === strongest ? styles.strongest : styles.level}
                        style={{ blockSize: `${scale.place(ratio, fullScales[i] ?? null) * 100}%` }}
                        title={`${line.label}: ${formatLevel(scale.value(ratio, fullScales[i] ?? null), scale.decibel)} ${scale.label}`}
                      />
                    )}
                  </td>
                ))}
              </tr>
            );
          })}
        </tbody>
      </table>
    </section>
  );
}
