import { useTranslation } from 'react-i18next';
import type { BundleChannel } from '../../shared/bundle/visit.ts';
import { groupLines, type LineLevels, loudestChannel } from '../levels/order-groups.ts';
import { formatLevel, fullScaleOf, type LevelScale } from '../levels/scale.ts';
import styles from './OrderCells.module.css';

/** The headings over the order cells of all rows: the part's name across, its multiples below. */
export function OrderHeads({ lines }: { lines: readonly LineLevels[] }) {
  return (
    <div className={styles.heads}>
      {groupLines(lines).map((group) => (
        <div
          key={`${group.heading} ${group.rest[0]}`}
          className={styles.group}
          style={{ flexGrow: group.rest.length }}
        >
          {group.heading && <span className={styles.part}>{group.heading}</span>}
          <span className={styles.multiples}>
            {group.rest.map((rest) => (
              <span key={rest} className={rest.includes(' ') ? styles.upright : undefined}>
                {rest}
              </span>
            ))}
          </span>
        </div>
      ))}
    </div>
  );
}

interface Props {
  lines: readonly LineLevels[];
  channels: readonly BundleChannel[];
  /** Index of the channel in `channels`. */
  index: number;
  scale: LevelScale;
}

/** One channel's energy at each part's order; a cap marks the channel where a line is strongest. */
export function OrderCells({ lines, channels, index, scale }: Props) {
  const { t, i18n } = useTranslation();
  const fullScale = fullScaleOf(channels[index]!);
  return (
    <ul className={styles.cells} aria-label={t('live.ordersLabel')}>
      {lines.map((line) => {
        const ratio = line.rms[index] ?? null;
        const strongest =
          loudestChannel(line, (r, channel) => r * (fullScaleOf(channels[channel]!) ?? 1)) === index;
        const text =
          ratio === null ? '–' : formatLevel(scale.value(ratio, fullScale), scale.decibel, i18n.language);
        return (
          <li key={line.label} className={styles.cell} title={`${line.label}: ${text} ${scale.label}`}>
            <span className="visually-hidden">
              {line.label} {text}
            </span>
            {ratio === null ? (
              <span className={styles.unknown} aria-hidden="true" />
            ) : (
              <span
                aria-hidden="true"
                className={`${styles.level} ${strongest ? styles.strongest : ''}`}
                style={{ blockSize: `${scale.linePlace(ratio, fullScale) * 100}%` }}
              />
            )}
          </li>
        );
      })}
    </ul>
  );
}
