import { useTranslation } from 'react-i18next';
import { formatLevel, fullScaleOf, type LevelScale } from '../../levels/scale.ts';
import { useApp } from '../../store/context.ts';
import styles from './OrderCells.module.css';
import { groupLines, loudestChannel } from './order-groups.ts';

/** The headings over the order cells of all rows: the part's name across, its multiples below. */
export function OrderHeads() {
  const lines = useApp((s) => s.orders?.lines);
  if (!lines?.length) return <div className={styles.heads} />;
  return (
    <div className={styles.heads}>
      {groupLines(lines).map((group) => (
        <div key={group.part} className={styles.group} style={{ flexGrow: group.multiples.length }}>
          <span className={styles.part}>{group.part}</span>
          <span className={styles.multiples}>
            {group.multiples.map((multiple) => (
              <span key={multiple}>{multiple}</span>
            ))}
          </span>
        </div>
      ))}
    </div>
  );
}

interface Props {
  /** Index of the channel in the live state's list. */
  index: number;
  fullScale: number | null;
  scale: LevelScale;
}

/** One channel's energy at each part's order; a cap marks the channel where a line is strongest. */
export function OrderCells({ index, fullScale, scale }: Props) {
  const { t } = useTranslation();
  const orders = useApp((s) => s.orders);
  const channels = useApp((s) => s.live?.channels);
  const lines = orders?.lines ?? [];
  return (
    <ul className={styles.cells} aria-label={t('live.ordersLabel')}>
      {lines.map((line) => {
        const ratio = line.rms[index] ?? null;
        const amount = (r: number, channel: number) => r * (fullScaleOf(channels![channel]!) ?? 1);
        const strongest = loudestChannel(line, amount) === index;
        const text = ratio === null ? '–' : formatLevel(scale.value(ratio, fullScale), scale.decibel);
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
                style={{ blockSize: `${scale.place(ratio, fullScale) * 100}%` }}
              />
            )}
          </li>
        );
      })}
    </ul>
  );
}
