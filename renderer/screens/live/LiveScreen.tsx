import { useMemo, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { Link } from 'wouter';
import type { LiveState } from '../../../shared/contract/live.ts';
import fullPage from '../../components/FullPage.module.css';
import { KeyHelp } from '../../components/KeyHelp.tsx';
import { KEYS } from '../../keys.ts';
import { levelScale } from '../../levels/scale.ts';
import { useApp } from '../../store/context.ts';
import { ChannelBoard, MOST_ROWS } from './ChannelBoard.tsx';
import { LiveFooter } from './LiveFooter.tsx';
import { LiveOrderMatrix } from './LiveOrders.tsx';
import styles from './LiveScreen.module.css';
import { OrderSpectrum } from './OrderSpectrum.tsx';
import { StatusStrip } from './StatusStrip.tsx';
import { useLiveKeys } from './use-live-keys.ts';

export function LiveScreen() {
  const live = useApp((s) => s.live);
  return live?.source ? <LiveView live={live} /> : <NothingOpen />;
}

function NothingOpen() {
  const { t } = useTranslation();
  const problem = useApp((s) => s.live?.problem);
  return (
    <main className={fullPage.page}>
      <h1>{t('live.idle')}</h1>
      {problem && <p role="alert">{problem}</p>}
      <p>{t('live.idleMore')}</p>
      <Link href="/setup">{t('live.toSetup')}</Link>
    </main>
  );
}

function LiveView({ live }: { live: LiveState }) {
  const { t } = useTranslation();
  const unit = useApp((s) => s.unit);
  const recheckDone = useApp((s) => s.recheckDone);
  const [typingSpeed, setTypingSpeed] = useState(false);
  const [help, setHelp] = useState(false);
  useLiveKeys(live, { typeSpeed: () => setTypingSpeed(true), help: () => setHelp(true) });
  const scale = useMemo(
    () => levelScale(live.channels, live.scale === 'absolute', unit),
    [live.channels, live.scale, unit],
  );
  const many = live.channels.length > MOST_ROWS;
  return (
    <main className={styles.screen}>
      <h1 className="visually-hidden">
        {t('live.title')} {live.vehicleLabel}
      </h1>
      <StatusStrip live={live} typingSpeed={typingSpeed} onSpeedTyped={() => setTypingSpeed(false)} />
      <div className={styles.sentences}>
        {live.problem && (
          <p className={styles.problem} role="alert">
            ⚠ {live.problem}
          </p>
        )}
        {!recheckDone && live.source?.kind === 'device' && (
          <p className={styles.caution}>
            {t('live.recheck')} <kbd>{KEYS.recheckDone.keys[0]}</kbd>
          </p>
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
