import { useTranslation } from 'react-i18next';
import type { LiveState } from '../../../shared/contract/live.ts';
import { formatDuration, formatSigned } from '../../format.ts';
import { positionName } from '../../i18n/words.ts';
import { KEYS } from '../../keys.ts';
import { StateSign } from './StateSign.tsx';
import styles from './StatusStrip.module.css';
import { type TypedField, TypedNumber } from './TypedField.tsx';

interface Props {
  live: LiveState;
  typing: TypedField | null;
  onTyped(): void;
}

/** What must be seen in passing: recording, speed, driving state, what is heard. */
export function StatusStrip({ live, typing, onTyped }: Props) {
  const { t } = useTranslation();
  return (
    <header className={styles.strip}>
      <RecordingBlock live={live} />
      <div className={styles.block}>
        <span className={styles.label}>
          {t('live.speed')} · {t(`speedFrom.${live.speed.from}`)}
        </span>
        {typing ? (
          <TypedNumber key={typing} field={typing} onDone={onTyped} />
        ) : (
          <span className={styles.value}>
            {live.speed.km_h === null ? (
              t('live.noSpeed')
            ) : (
              <>
                <b>{live.speed.km_h.toFixed(0)}</b> km/h
              </>
            )}
            {live.speed.gearRatio !== null && (
              <small>{t('live.gear', { ratio: live.speed.gearRatio })}</small>
            )}
          </span>
        )}
      </div>
      <div className={styles.block}>
        <span className={styles.label}>{t('live.drivingState')}</span>
        <span className={styles.value}>
          <StateSign state={live.drivingState} />
          {t(`state.${live.drivingState}`)}
          <small>{t(`stateMeans.${live.drivingState}`)}</small>
        </span>
      </div>
      <HeardBlock live={live} />
    </header>
  );
}

function RecordingBlock({ live }: { live: LiveState }) {
  const { t } = useTranslation();
  const { recording } = live;
  const lost =
    live.lostFrames > 0 ? (
      <b className={styles.warn}>⚠ {t('live.lost', { count: live.lostFrames })}</b>
    ) : (
      t('live.noneLost')
    );
  if (recording)
    return (
      <div className={`${styles.block} ${styles.recording}`} role="status">
        <span className={styles.label}>
          {t('live.marks', { count: recording.marks })} · {lost}
        </span>
        <span className={styles.value}>
          <span className={styles.disc} aria-hidden="true" />
          {t('live.recording')} <b>{formatDuration(recording.seconds)}</b>
        </span>
      </div>
    );
  return (
    <div className={styles.block} role="status">
      <span className={styles.label}>
        {lost} ·{' '}
        {live.phase === 'playing' ? live.source?.name : t('live.pressToRecord', { key: KEYS.record.keys[0] })}
      </span>
      <span className={styles.value}>
        <span className={styles.ring} aria-hidden="true" />
        {t(live.phase === 'playing' ? 'live.playing' : 'live.notRecording')}
      </span>
    </div>
  );
}

function HeardBlock({ live }: { live: LiveState }) {
  const { t } = useTranslation();
  const { listening } = live;
  const channel = live.channels.find((c) => c.channel === live.heard);
  return (
    <div className={styles.block}>
      <span className={styles.label}>
        {t('live.heard')} · {t(`band.${listening.band}`)} ·{' '}
        {t('live.gain', { gain: formatSigned(listening.gain_db) })}
      </span>
      <span className={styles.value}>
        {!listening.on ? (
          <>
            <span aria-hidden="true">🔇︎</span> {t('live.soundOff')}
          </>
        ) : channel ? (
          <>
            <b>{channel.channel}</b>{' '}
            {channel.role === 'vibration' ? positionName(t, channel.position) : channel.shaft}
          </>
        ) : (
          t('live.nobody')
        )}
      </span>
    </div>
  );
}
