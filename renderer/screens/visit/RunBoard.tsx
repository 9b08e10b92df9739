import { type MouseEvent, useEffect, useMemo, useRef } from 'react';
import { useTranslation } from 'react-i18next';
import type { RunHistory } from '../../../shared/contract/garage.ts';
import { unitOf } from '../../../shared/units/units.ts';
import { OrderCells, OrderHeads } from '../../components/OrderCells.tsx';
import { OrderMatrix } from '../../components/OrderMatrix.tsx';
import { useOrderName } from '../../i18n/use-order-name.ts';
import { positionName, shaftName } from '../../i18n/words.ts';
import { formatLevel, fullScaleOf, type LevelScale } from '../../levels/scale.ts';
import { useApp } from '../../store/context.ts';
import { MOST_ROWS } from '../live/ChannelBoard.tsx';
import { LevelStrip } from './LevelStrip.tsx';
import styles from './RunBoard.module.css';
import { medianLevels, medianLines, runSeconds, type Stretch, secondsIn } from './run-stretches.ts';
import { Timeline } from './Timeline.tsx';

/** Strips show half of the meter's span, 40 dB, up to a little above the run's loudest second. */
const STRIP_SPAN = 0.5;
const STRIP_HEADROOM = 0.03;

interface Props {
  history: RunHistory;
  stretch: Stretch;
  heard: number | null;
  playing: boolean;
  start_s: number;
  scale: LevelScale;
  choose(channel: number): void;
  seek(to_s: number): void;
}

/** A recorded run as the live view shows it, with time instead of the bar: one row per channel. */
export function RunBoard({ history, stretch, heard, playing, start_s, scale, choose, seek }: Props) {
  const { t, i18n } = useTranslation();
  const units = useApp((s) => s.settings.units);
  const { run } = history;
  const seconds = secondsIn(history, stretch);
  const levels = medianLevels(history, seconds);
  const orderName = useOrderName();
  const lines = medianLines(history, seconds).map((l) => ({ ...l, label: orderName(l.label) }));
  const span = useMemo(() => {
    const places = run.channels.flatMap((c, i) =>
      c.role === 'vibration' ? history.rms[i]!.map((ratio) => scale.place(ratio, fullScaleOf(c))) : [],
    );
    const top = Math.min(1, Math.max(STRIP_SPAN, ...places) + STRIP_HEADROOM);
    return [Math.max(0, top - STRIP_SPAN), top] as const;
  }, [history, run, scale]);
  const asRows = run.channels.length <= MOST_ROWS;
  const clickToSeek = (event: MouseEvent<HTMLElement>) => {
    const box = event.currentTarget.getBoundingClientRect();
    seek(((event.clientX - box.left) / box.width) * runSeconds(run));
  };
  return (
    <section className={styles.board} aria-label={t('visit.levels')}>
      <div className={styles.grid}>
        <div className={`${styles.row} ${styles.head}`}>
          <span>{t('visit.speed', { unit: unitOf('speed', units) })}</span>
          {/* biome-ignore lint/a11y/noStaticElementInteractions: a shortcut; the keys seek too */}
          {/* biome-ignore lint/a11y/useKeyWithClickEvents: seeking by key is in the key list */}
          <div className={styles.timeline} onClick={clickToSeek}>
            <Timeline history={history} />
            <PlayHead seconds={runSeconds(run)} playing={playing} start_s={start_s} />
          </div>
          <span className={styles.number}>
            {t('visit.median')} <b>{scale.label}</b>
          </span>
          {asRows && <OrderHeads lines={lines} />}
        </div>
        {run.channels.map((channel, i) => {
          const isHeard = channel.channel === heard;
          return (
            <div key={channel.channel} className={`${styles.row} ${isHeard ? styles.heard : ''}`}>
              <button
                type="button"
                className={styles.who}
                aria-pressed={isHeard}
                disabled={channel.role === 'tacho'}
                onClick={() => choose(channel.channel)}
              >
                <span className={styles.badge}>{channel.channel}</span>
                <span>
                  {channel.role === 'tacho'
                    ? t('live.tacho', { shaft: shaftName(t, channel.shaft) })
                    : positionName(t, channel.position)}
                </span>
              </button>
              {/* biome-ignore lint/a11y/noStaticElementInteractions: a shortcut; the keys seek too */}
              {/* biome-ignore lint/a11y/useKeyWithClickEvents: seeking by key is in the key list */}
              <div className={styles.strip} onClick={clickToSeek}>
                <LevelStrip history={history} index={i} heard={isHeard} scale={scale} span={span} />
                <PlayHead seconds={runSeconds(run)} playing={playing} start_s={start_s} />
              </div>
              <span className={styles.number}>
                {channel.role === 'vibration' &&
                  formatLevel(scale.value(levels[i]!, fullScaleOf(channel)), scale.decibel, i18n.language)}
              </span>
              {asRows && <OrderCells lines={lines} channels={run.channels} index={i} scale={scale} />}
            </div>
          );
        })}
      </div>
      {!asRows && (
        <div className={styles.matrix}>
          <OrderMatrix lines={lines} channels={run.channels} heard={heard} scale={scale} />
        </div>
      )}
    </section>
  );
}

/** Where it plays; follows the level feed without React. */
function PlayHead({ seconds, playing, start_s }: { seconds: number; playing: boolean; start_s: number }) {
  const feed = useApp((s) => s.levels);
  const line = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const put = () => {
      const at_s = playing ? (feed.latest()?.at_s ?? start_s) : start_s;
      if (line.current) line.current.style.insetInlineStart = `${Math.min(1, at_s / seconds) * 100}%`;
    };
    put();
    return playing ? feed.subscribe(put) : undefined;
  }, [feed, playing, start_s, seconds]);
  return <div ref={line} className={styles.playHead} />;
}
