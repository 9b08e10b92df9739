import type { ReactNode } from 'react';
import { useTranslation } from 'react-i18next';
import type { LiveState } from '../../../shared/contract/live.ts';
import { shown, unitOf } from '../../../shared/units/units.ts';
import { KeyButton } from '../../components/KeyButton.tsx';
import { formatDuration, formatSigned } from '../../format.ts';
import { positionName, shaftName } from '../../i18n/words.ts';
import type { KeyAction } from '../../keys.ts';
import { useApp } from '../../store/context.ts';
import type { KeyHandlers } from '../../use-keys.ts';
import { StateSign } from './StateSign.tsx';
import styles from './StatusStrip.module.css';
import { type TypedField, TypedNumber } from './TypedField.tsx';

interface Props {
  live: LiveState;
  keys: KeyHandlers;
  typing: TypedField | null;
  onTyped(): void;
}

/** What must be seen in passing: recording, speed, driving state, what is heard; each with its keys. */
export function StatusStrip({ live, keys, typing, onTyped }: Props) {
  const { t } = useTranslation();
  const units = useApp((s) => s.settings.units);
  const { gearRatio } = live.speed;
  const gear = gearRatio === null ? '' : t('live.gear', { ratio: gearRatio });
  return (
    <header className={styles.strip}>
      <RecordingBlock live={live} keys={keys} />
      <Block
        label={[`${t('live.speed')} ${t(`speedFrom.${live.speed.from}`)}`, gear].filter(Boolean).join(' · ')}
        actions={['slower', 'faster']}
        keys={keys}
      >
        {typing ? (
          <TypedNumber key={typing} field={typing} onDone={onTyped} />
        ) : live.speed.km_h === null ? (
          t('live.noSpeed')
        ) : (
          <>
            <b>{shown(live.speed.km_h, 'speed', units).toFixed(0)}</b> {unitOf('speed', units)}
          </>
        )}
      </Block>
      <Block label={t('live.drivingState')} actions={['drivingState']} keys={keys}>
        <StateSign state={live.drivingState} />
        {t(`state.${live.drivingState}`)}
        <small>{t(`stateMeans.${live.drivingState}`)}</small>
      </Block>
      <HeardBlock live={live} keys={keys} />
    </header>
  );
}

interface BlockProps {
  label: ReactNode;
  actions: readonly KeyAction[];
  keys: KeyHandlers;
  children: ReactNode;
}

function Block({ label, actions, keys, children }: BlockProps) {
  return (
    <div className={styles.block}>
      <span className={styles.label}>{label}</span>
      <span className={styles.value}>{children}</span>
      <Caps actions={actions} keys={keys} />
    </div>
  );
}

const Caps = ({ actions, keys }: Pick<BlockProps, 'actions' | 'keys'>) => (
  <span className={styles.caps}>
    {actions.map((action) => (
      <KeyButton key={action} action={action} keys={keys} />
    ))}
  </span>
);

function RecordingBlock({ live, keys }: { live: LiveState; keys: KeyHandlers }) {
  const { t } = useTranslation();
  const { recording } = live;
  const playing = live.phase === 'playing';
  return (
    <div className={`${styles.block} ${recording ? styles.recording : ''}`}>
      {/* Spoken when it begins and ends, not with every second. */}
      <div className={styles.words} role="status" aria-live="off">
        <span className={styles.label}>
          {recording && `${t('live.marks', { count: recording.marks })} · `}
          {live.lostFrames > 0 ? (
            <b className={styles.warn}>⚠ {t('live.lost', { count: live.lostFrames })}</b>
          ) : (
            t('live.noneLost')
          )}
          {playing && ` · ${live.source?.name}`}
        </span>
        <span className={styles.value}>
          <span className={recording ? styles.disc : styles.ring} aria-hidden="true" />
          <span aria-live="polite">
            {t(recording ? 'live.recording' : playing ? 'live.playing' : 'live.notRecording')}
          </span>{' '}
          {recording && <b>{formatDuration(recording.seconds)}</b>}
        </span>
      </div>
      {!playing && <Caps actions={recording ? ['record', 'mark'] : ['record']} keys={keys} />}
    </div>
  );
}

function HeardBlock({ live, keys }: { live: LiveState; keys: KeyHandlers }) {
  const { t } = useTranslation();
  const { listening } = live;
  const channel = live.channels.find((c) => c.channel === live.heard);
  const gain = t('live.gain', { gain: formatSigned(listening.gain_db) });
  return (
    <Block
      label={`${t('live.heard')} · ${t(`band.${listening.band}`)} · ${gain}`}
      actions={['hearPrevious', 'listenBand']}
      keys={keys}
    >
      {!listening.on ? (
        <>
          <span aria-hidden="true">🔇︎</span> {t('live.soundOff')}
        </>
      ) : channel ? (
        <>
          <b>{channel.channel}</b>{' '}
          {channel.role === 'vibration' ? positionName(t, channel.position) : shaftName(t, channel.shaft)}
        </>
      ) : (
        t('live.nobody')
      )}
    </Block>
  );
}
