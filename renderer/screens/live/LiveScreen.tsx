import { useMemo, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { Link } from 'wouter';
import type { LiveState } from '../../../shared/contract/live.ts';
import button from '../../components/Button.module.css';
import { KeyHelp } from '../../components/KeyHelp.tsx';
import { Page } from '../../components/Page.tsx';
import { useTell } from '../../i18n/use-tell.ts';
import { vehicleName } from '../../i18n/words.ts';
import { KEYS } from '../../keys.ts';
import { levelScale } from '../../levels/scale.ts';
import { useApp } from '../../store/context.ts';
import { ChannelBoard, MOST_ROWS } from './ChannelBoard.tsx';
import { LiveFooter } from './LiveFooter.tsx';
import { LiveOrderMatrix } from './LiveOrders.tsx';
import styles from './LiveScreen.module.css';
import { OrderSpectrum } from './OrderSpectrum.tsx';
import { RoadStrip } from './RoadStrip.tsx';
import { RunEnded } from './RunEnded.tsx';
import { StatusStrip } from './StatusStrip.tsx';
import type { TypedField } from './TypedField.tsx';
import { useLiveKeys } from './use-live-keys.ts';

export function LiveScreen() {
  const live = useApp((s) => s.live);
  return live?.source ? <LiveView live={live} /> : <NothingOpen />;
}

function NothingOpen() {
  const { t } = useTranslation();
  const tell = useTell();
  const problem = useApp((s) => s.live?.problem);
  return (
    <Page>
      <h1>{t('live.idle')}</h1>
      {problem && <p role="alert">{tell(problem)}</p>}
      <p>{t('live.idleMore')}</p>
      <p>
        <Link href="/setup" className={`${button.button} ${button.primary}`}>
          {t('live.toSetup')}
        </Link>
      </p>
    </Page>
  );
}

function LiveView({ live }: { live: LiveState }) {
  const { t } = useTranslation();
  const tell = useTell();
  const unit = useApp((s) => s.unit);
  const recheckDone = useApp((s) => s.recheckDone);
  const [typing, setTyping] = useState<TypedField | null>(null);
  const [help, setHelp] = useState(false);
  const keys = useLiveKeys(live, { type: setTyping, help: () => setHelp(true) });
  const scale = useMemo(
    () => levelScale(live.channels, live.scale === 'absolute', unit),
    [live.channels, live.scale, unit],
  );
  const many = live.channels.length > MOST_ROWS;
  return (
    <main className={styles.screen}>
      <h1 className="visually-hidden">
        {t('live.title')} {live.vehicleLabel && vehicleName(t, live.vehicleLabel)}
      </h1>
      <StatusStrip live={live} keys={keys} typing={typing} onTyped={() => setTyping(null)} />
      <div className={styles.sentences}>
        {live.problem && (
          <p className={styles.problem} role="alert">
            ⚠ {tell(live.problem)}
          </p>
        )}
        <RunEnded live={live} />
        {live.speed.links.map(
          ({ kind, problem }) =>
            problem && (
              <p key={kind} className={styles.quiet}>
                ⚠ {tell(problem)}
              </p>
            ),
        )}
        {live.listening.problem && <p className={styles.quiet}>⚠ {tell(live.listening.problem)}</p>}
        {!recheckDone && live.source?.kind === 'device' && (
          <p className={styles.caution}>
            {t('live.recheck')} <kbd>{KEYS.recheckDone.keys[0]}</kbd>
          </p>
        )}
        {live.visitId !== null && live.phase !== 'playing' && (
          <RoadStrip visitId={live.visitId} keys={keys} />
        )}
      </div>
      <ChannelBoard live={live} scale={scale} />
      <div className={many ? styles.twoPanels : styles.onePanel}>
        {many && <LiveOrderMatrix channels={live.channels} heard={live.heard} scale={scale} />}
        <OrderSpectrum live={live} scale={scale} />
      </div>
      <LiveFooter live={live} scale={scale} />
      {help && <KeyHelp screen="live" onClose={() => setHelp(false)} />}
    </main>
  );
}
