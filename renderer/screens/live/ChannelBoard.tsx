import { type CSSProperties, useEffect, useEffectEvent, useMemo, useRef, useState } from 'react';
import { useTranslation } from 'react-i18next';
import type { Fault, LiveState } from '../../../shared/contract/live.ts';
import { readColours } from '../../components/colours.ts';
import { formatTick } from '../../format.ts';
import { positionName, shaftName } from '../../i18n/words.ts';
import { formatLevel, fullScaleOf, type LevelScale } from '../../levels/scale.ts';
import { useApp } from '../../store/context.ts';
import styles from './ChannelBoard.module.css';
import { type BarLevels, drawBar } from './draw-bar.ts';
import { LiveOrderCells, LiveOrderHeads } from './LiveOrders.tsx';

/** Up to this many channels stand as rows with their orders beside them; more stand as a grid. */
export const MOST_ROWS = 8;
/** Columns of the board by its shape: rows carry the orders too, cells only what must be seen. */
const COLUMNS = { rows: 1, pairs: 2, cells: 4 } as const;
type Shape = keyof typeof COLUMNS;

function shapeFor(channels: number): Shape {
  if (channels <= MOST_ROWS) return 'rows';
  return channels <= 2 * MOST_ROWS ? 'pairs' : 'cells';
}

const rowsStyle = (shape: Shape, channels: number) =>
  ({ '--rows': Math.ceil(channels / COLUMNS[shape]) }) as CSSProperties;

/** Numbers change this often: faster cannot be read. */
const NUMBERS_ms = 250;

interface Row {
  canvas: HTMLCanvasElement | null;
  number: HTMLElement | null;
  peak: HTMLElement | null;
  crest: HTMLElement | null;
}

interface Props {
  live: LiveState;
  scale: LevelScale;
}

/** Every channel with its bar, number and held peak. The bars follow the level feed without React. */
export function ChannelBoard({ live, scale }: Props) {
  const { t, i18n } = useTranslation();
  const feed = useApp((s) => s.levels);
  const theme = useApp((s) => s.theme);
  const command = useApp((s) => s.command);
  const { channels, heard } = live;
  const rows = useRef<Row[]>([]);
  const [faults, setFaults] = useState<Fault[][]>([]);
  const shape = shapeFor(channels.length);
  const asRows = shape === 'rows';
  const fullScales = useMemo(() => channels.map(fullScaleOf), [channels]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: the colours are the theme's
  const colours = useMemo(() => ({ current: null as ReturnType<typeof readColours> | null }), [theme]);
  const bar = useRef<BarLevels>({ rms: 0, peak: 0, hold: 0, heard: null });
  /** Sum of squares and count since the numbers were last written. */
  const sum = useRef({ squares: new Float64Array(0), count: 0, writtenAt: 0 });

  const shown = (value: number) => formatLevel(value, scale.decibel, i18n.language);

  const collect = useEffectEvent(() => {
    const levels = feed.latest();
    if (!levels) {
      sum.current.count = 0;
      return;
    }
    if (sum.current.squares.length !== levels.rms.length)
      sum.current = { squares: new Float64Array(levels.rms.length), count: 0, writtenAt: 0 };
    for (let i = 0; i < levels.rms.length; i++) sum.current.squares[i]! += levels.rms[i]! ** 2;
    sum.current.count++;
  });

  const draw = useEffectEvent(() => {
    const levels = feed.latest();
    if (!levels) return;
    colours.current ??= readColours();
    const heardRow = channels.findIndex((c) => c.channel === heard);
    bar.current.heard = heardRow < 0 ? null : scale.place(levels.rms[heardRow] ?? 0, fullScales[heardRow]!);
    for (let i = 0; i < channels.length; i++) {
      const canvas = rows.current[i]?.canvas;
      const context = canvas?.getContext('2d');
      if (!canvas || !context) continue;
      const fullScale = fullScales[i]!;
      bar.current.rms = scale.place(levels.rms[i] ?? 0, fullScale);
      bar.current.peak = scale.place(levels.peak[i] ?? 0, fullScale);
      bar.current.hold = scale.place(levels.peakHold[i] ?? 0, fullScale);
      drawBar(
        context,
        canvas.width,
        canvas.height,
        bar.current,
        i === heardRow,
        scale.ticks,
        colours.current,
      );
    }
    const now = performance.now();
    if (sum.current.count > 0 && now - sum.current.writtenAt >= NUMBERS_ms) {
      for (let i = 0; i < channels.length; i++) {
        const row = rows.current[i];
        const rms = Math.sqrt((sum.current.squares[i] ?? 0) / sum.current.count);
        if (row?.number) row.number.textContent = shown(scale.value(rms, fullScales[i]!));
        if (row?.peak) row.peak.textContent = shown(scale.value(levels.peakHold[i] ?? 0, fullScales[i]!));
      }
      for (let i = 0; i < channels.length; i++) {
        const crest = rows.current[i]?.crest;
        const factor = levels.crest[i] ?? 0;
        // The peak over the RMS of the same stretch says nothing in silence.
        if (crest) crest.textContent = factor > 0 ? t('live.crest', { factor }) : '';
      }
      sum.current.squares.fill(0);
      sum.current.count = 0;
      sum.current.writtenAt = now;
      setFaults((before) =>
        JSON.stringify(before) === JSON.stringify(levels.faults) ? before : levels.faults,
      );
    }
  });

  // biome-ignore lint/correctness/useExhaustiveDependencies: other rows are other canvases to watch
  useEffect(() => {
    let frame = 0;
    const unsubscribe = feed.subscribe(() => {
      collect();
      frame ||= requestAnimationFrame(() => {
        frame = 0;
        draw();
      });
    });
    const observer = new ResizeObserver((entries) => {
      for (const { target, contentRect } of entries) {
        const canvas = target as HTMLCanvasElement;
        canvas.width = Math.round(contentRect.width * devicePixelRatio);
        canvas.height = Math.round(contentRect.height * devicePixelRatio);
      }
      draw();
    });
    for (const row of rows.current) if (row?.canvas) observer.observe(row.canvas);
    return () => {
      unsubscribe();
      cancelAnimationFrame(frame);
      observer.disconnect();
    };
  }, [feed, channels.length, shape]);

  const part = (index: number) =>
    (rows.current[index] ??= { canvas: null, number: null, peak: null, crest: null });
  rows.current.length = channels.length;

  return (
    <section className={styles[shape]} aria-label={t('live.channelsLabel')}>
      {asRows && (
        <div className={styles.heads} aria-hidden="true">
          <span className={styles.headPlumb}>{t('live.heardLevelLine')}</span>
          <div className={styles.scale}>
            {scale.ticks.map((tick) => (
              <span key={tick.value} style={{ insetInlineStart: `${tick.place * 100}%` }}>
                {formatTick(tick.value, i18n.language)}
              </span>
            ))}
          </div>
          <span className={styles.headNumber}>
            {t('live.rms')} <b>{scale.label}</b>
          </span>
          <span className={styles.headPeak}>{t('live.peak')}</span>
          <LiveOrderHeads />
        </div>
      )}
      <ol className={styles.list} style={rowsStyle(shape, channels.length)}>
        {channels.map((channel, i) => {
          const isHeard = channel.channel === heard;
          const name =
            channel.role === 'tacho'
              ? t('live.tacho', { shaft: shaftName(t, channel.shaft) })
              : positionName(t, channel.position);
          return (
            <li key={channel.channel} className={`${styles.channel} ${isHeard ? styles.heard : ''}`}>
              <button
                type="button"
                className={styles.who}
                aria-pressed={isHeard}
                disabled={channel.role === 'tacho'}
                onClick={() => void command('live.hear', { channel: channel.channel })}
              >
                <span className={styles.badge}>{channel.channel}</span>
                <span className={styles.name}>
                  <span className={(faults[i] ?? []).length > 0 ? styles.shortened : undefined}>{name}</span>
                  {(faults[i] ?? []).map((fault) => (
                    <span key={fault} className={styles.fault}>
                      ⚠ {t(shape === 'cells' ? `faultShort.${fault}` : `fault.${fault}`)}
                    </span>
                  ))}
                </span>
              </button>
              <canvas
                className={styles.bar}
                ref={(canvas) => {
                  part(i).canvas = canvas;
                }}
              />
              <span
                className={styles.number}
                ref={(element) => {
                  part(i).number = element;
                }}
              >
                –
              </span>
              <span className={styles.peak}>
                <span
                  ref={(element) => {
                    part(i).peak = element;
                  }}
                >
                  –
                </span>
                {shape !== 'cells' && (
                  <small
                    ref={(element) => {
                      part(i).crest = element;
                    }}
                  />
                )}
              </span>
              {asRows && <LiveOrderCells index={i} channels={channels} scale={scale} />}
            </li>
          );
        })}
      </ol>
    </section>
  );
}
