import { useEffect, useState } from 'react';
import { useTranslation } from 'react-i18next';
import type { Message } from '../../../shared/messages/message.ts';
import { KeyButton } from '../../components/KeyButton.tsx';
import { useTell } from '../../i18n/use-tell.ts';
import { useApp } from '../../store/context.ts';
import type { KeyHandlers } from '../../use-keys.ts';
import styles from './RoadStrip.module.css';

/** The road card in one line: what is driven now, how long it has counted, and how many are done. */
export function RoadStrip({ visitId, keys }: { visitId: number; keys: KeyHandlers }) {
  const { t } = useTranslation();
  const tell = useTell();
  const card = useApp((s) => (s.work?.visitId === visitId ? s.work.roadCard : null));
  const known = useApp((s) => s.work?.visitId === visitId);
  const loadWork = useApp((s) => s.loadWork);
  const progress = useApp((s) => s.roadProgress);
  const spoken = useApp((s) => s.spokenPrompts);
  const recording = useApp((s) => s.live?.recording != null);
  const said = useLastSaid(recording);
  useEffect(() => {
    if (!known) void loadWork(visitId);
  }, [known, loadWork, visitId]);
  if (!card) return null;
  const now = card.manoeuvres.find((m) => m.id === progress?.current);
  const is = progress?.manoeuvres.find((m) => m.id === now?.id);
  const done = progress?.manoeuvres.filter((m) => m.state === 'done').length ?? 0;
  return (
    <section className={styles.strip} aria-label={t('road.strip')}>
      <KeyButton action="followCard" keys={keys} />
      {!progress ? (
        <span>{t('road.notFollowing')}</span>
      ) : (
        <>
          <b className={styles.count}>{t('road.count', { done, count: card.manoeuvres.length })}</b>
          {now ? (
            <>
              <b className={styles.now}>{tell(now.title)}</b>
              <progress
                max={now.wanted_s}
                value={Math.min(is?.held_s ?? 0, now.wanted_s)}
                aria-label={tell(now.title)}
              />
              <span className={styles.held}>
                {t('road.held', { held: Math.floor(is?.held_s ?? 0), wanted: now.wanted_s })}
              </span>
              <KeyButton action="nextManoeuvre" keys={keys} />
            </>
          ) : (
            <b className={styles.now}>{t('road.allDone')}</b>
          )}
          <span className={styles.said} aria-live="polite">
            {recording ? said : t('road.recordToCount')}
          </span>
        </>
      )}
      <KeyButton action="spokenPrompts" keys={keys} />
      <span>{t(spoken ? 'road.spokenOn' : 'road.spokenOff')}</span>
    </section>
  );
}

/** So long a sentence stands after it was spoken. */
const STANDS_ms = 8000;

/** What was said last, while it still holds. */
function useLastSaid(recording: boolean): string {
  const tell = useTell();
  const prompt = useApp((s) => s.lastPrompt);
  const [said, setSaid] = useState<Message | null>(null);
  useEffect(() => {
    setSaid(prompt?.say ?? null);
    const timer = setTimeout(() => setSaid(null), STANDS_ms);
    return () => clearTimeout(timer);
  }, [prompt]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: what was said before a recording is over with it
  useEffect(() => setSaid(null), [recording]);
  return said ? tell(said) : '';
}
