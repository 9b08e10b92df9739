import { useEffect, useMemo, useRef, useState } from 'react';
import { useTranslation } from 'react-i18next';
import type { Run } from '../../../shared/contract/garage.ts';
import { Button } from '../../components/Button.tsx';
import { KeyHelp } from '../../components/KeyHelp.tsx';
import { formatDuration, formatNumber, formatSigned } from '../../format.ts';
import { useTell } from '../../i18n/use-tell.ts';
import { positionName } from '../../i18n/words.ts';
import { KEYS } from '../../keys.ts';
import { fullScaleOf, levelScale } from '../../levels/scale.ts';
import { useApp } from '../../store/context.ts';
import { useKeys } from '../../use-keys.ts';
import { RunBoard } from './RunBoard.tsx';
import { RunSpectra } from './RunSpectra.tsx';
import { runSeconds, stretchesOf } from './run-stretches.ts';
import { useVisitPlayer } from './use-visit-player.ts';
import styles from './VisitScreen.module.css';

/** One run of a visit: player, levels over time, and spectra of the channel heard over the earlier visit's. */
export function RunView({ run, nextRun }: { run: Run; nextRun(): void }) {
  const { t, i18n } = useTranslation();
  const unit = useApp((s) => s.unit);
  const history = useApp((s) => s.histories[run.id]);
  const loadHistory = useApp((s) => s.loadHistory);
  const earlier = useEarlierRun(run);
  const player = useVisitPlayer(run);
  const [chosenStretch, setStretch] = useState(0);
  const [help, setHelp] = useState(false);
  const stretches = stretchesOf(run);
  const selectStretch = (index: number) => {
    setStretch(index);
    player.seek(stretches[index]!.from_s);
  };
  const nextStretch = () => selectStretch((chosenStretch + 1) % stretches.length);
  useKeys('visit', { ...player.keys, nextRun, nextStretch, help: () => setHelp(true) });
  useEffect(() => void loadHistory(run.id), [run.id, loadHistory]);
  const scale = useMemo(() => {
    const absolute = run.channels.every((c) => c.role === 'tacho' || fullScaleOf(c) !== null);
    return levelScale(run.channels, absolute, unit);
  }, [run.channels, unit]);

  const stretch = stretches[chosenStretch] ?? stretches[0]!;
  const gapFrames = run.gaps.reduce((sum, gap) => sum + gap.frames, 0);
  return (
    <>
      <PlayerBar run={run} player={player} onHelp={() => setHelp(true)} />
      {(run.gaps.length > 0 || run.state !== 'complete') && (
        <p>
          ⚠ {run.state !== 'complete' && `${t(`visit.runState.${run.state}`)}. `}
          {run.gaps.length > 0 &&
            t('visit.gaps', {
              count: run.gaps.length,
              seconds: formatNumber(gapFrames / run.sampleRate_Hz, i18n.language),
            })}
        </p>
      )}
      {stretches.length > 1 && (
        <fieldset className={styles.choices}>
          <legend className="visually-hidden">{t('visit.stretch')}</legend>
          {stretches.map((s, i) => (
            <button
              key={`${s.from_s} ${s.state}`}
              type="button"
              aria-pressed={i === chosenStretch}
              className={styles.choice}
              onClick={() => selectStretch(i)}
            >
              {s.state === null ? t('visit.wholeRun') : t(`state.${s.state}`)}
              <small>
                {formatDuration(s.from_s)} – {formatDuration(s.to_s)}
              </small>
            </button>
          ))}
        </fieldset>
      )}
      {history ? (
        <>
          <RunBoard history={history} stretch={stretch} scale={scale} {...player} />
          {player.heard !== null && (
            <RunSpectra
              history={history}
              stretch={stretch}
              heard={player.heard}
              scale={scale}
              earlier={earlier}
            />
          )}
        </>
      ) : (
        <p aria-busy="true">{t('garage.loading')}</p>
      )}
      {help && <KeyHelp screen="visit" onClose={() => setHelp(false)} />}
    </>
  );
}

interface PlayerBarProps {
  run: Run;
  player: ReturnType<typeof useVisitPlayer>;
  onHelp(): void;
}

function PlayerBar({ run, player, onHelp }: PlayerBarProps) {
  const { t } = useTranslation();
  const tell = useTell();
  const listening = useApp((s) => s.live!.listening);
  const channel = run.channels.find((c) => c.channel === player.heard);
  return (
    <div className={styles.player}>
      <Button primary onClick={player.playOrStop}>
        {player.playing ? `■ ${t('visit.stop')}` : `▶ ${t('visit.play')}`} ({t('keyCap.Space')})
      </Button>
      <Clock run={run} playing={player.playing} start_s={player.start_s} />
      <span>
        {t('live.heard')}: <b>{channel?.channel ?? '–'}</b>{' '}
        {channel?.role === 'vibration' && positionName(t, channel.position)}
      </span>
      <span>
        {listening.on ? t(`band.${listening.band}`) : t('live.soundOff')} <kbd>{KEYS.listenBand.keys[0]}</kbd>
        , {t('live.gain', { gain: formatSigned(listening.gain_db) })}
      </span>
      <Button className={styles.help} onClick={onHelp}>
        {t('help.keys')} ({KEYS.help.keys[0]})
      </Button>
      {listening.problem && <span className={styles.problem}>⚠ {tell(listening.problem)}</span>}
    </div>
  );
}

/** Position of the run's length; the digits follow the level feed without React. */
function Clock({ run, playing, start_s }: { run: Run; playing: boolean; start_s: number }) {
  const { t } = useTranslation();
  const feed = useApp((s) => s.levels);
  const digits = useRef<HTMLSpanElement>(null);
  useEffect(() => {
    const put = () => {
      const at_s = playing ? (feed.latest()?.at_s ?? start_s) : start_s;
      if (digits.current) digits.current.textContent = formatDuration(at_s);
    };
    put();
    return playing ? feed.subscribe(put) : undefined;
  }, [feed, playing, start_s]);
  return (
    <span className={styles.clock}>
      <span className="visually-hidden">{t('visit.position')} </span>
      <span ref={digits} /> / {formatDuration(runSeconds(run))}
    </span>
  );
}

/** The history of the earlier visit's run that shares most places with this one. */
function useEarlierRun(run: Run) {
  const earlierVisit = useApp((s) => s.earlierVisit);
  const loadHistory = useApp((s) => s.loadHistory);
  const places = new Set(run.channels.map((c) => (c.role === 'vibration' ? c.position : '')));
  const shared = (other: Run) =>
    other.channels.filter((c) => c.role === 'vibration' && places.has(c.position)).length;
  const best = earlierVisit?.runs.toSorted((a, b) => shared(b) - shared(a))[0];
  const id = best && shared(best) > 0 ? best.id : null;
  useEffect(() => {
    if (id !== null) void loadHistory(id);
  }, [id, loadHistory]);
  return useApp((s) => (id === null ? null : (s.histories[id] ?? null)));
}
