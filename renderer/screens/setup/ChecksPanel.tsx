import { useEffect, useRef, useState } from 'react';
import { useTranslation } from 'react-i18next';
import type { CheckResult, StartCheck, VisitWork } from '../../../shared/contract/visit-work.ts';
import { textOf } from '../../../shared/messages/as-text.ts';
import type { Message } from '../../../shared/messages/message.ts';
import { Button } from '../../components/Button.tsx';
import { TextField } from '../../components/Field.tsx';
import { NUMERIC } from '../../forms/numeric.ts';
import { useTell } from '../../i18n/use-tell.ts';
import { positionName } from '../../i18n/words.ts';
import { useApp } from '../../store/context.ts';
import { RequestError } from '../../transport/client.ts';
import styles from './ChecksPanel.module.css';

const GOOD = ['right', 'good', 'positive', 'calibrated'];

interface Props {
  work: VisitWork;
  /** What a channel's full scale follows from has changed. */
  onScale(channel: number, relative: boolean): Promise<void>;
}

/** Which channel sits where, how quiet it is, whether its lead holds, what its pickup gives. */
export function ChecksPanel({ work, onScale }: Props) {
  const { visitId } = work;
  const { t } = useTranslation();
  const tell = useTell();
  const check = useApp((s) => s.check);
  const startCheck = useApp((s) => s.startCheck);
  const command = useApp((s) => s.command);
  const changeWork = useApp((s) => s.changeWork);
  const fail = useApp((s) => s.fail);
  const [reference, setReference] = useState('10');
  const [refused, setRefused] = useState<string>();
  const { start: tapAll, stop: stopTapping } = useTapAll(work);

  const start = async (wish: StartCheck) => {
    setRefused(undefined);
    stopTapping();
    try {
      await startCheck(visitId, wish);
    } catch (error) {
      if (error instanceof RequestError && error.field === 'check.reference_m_s2')
        setRefused(textOf(error.told));
      else fail(error);
    }
  };
  const newest = (kind: CheckResult['check'], channel?: number) =>
    work.checks.find(
      ({ result }) =>
        result.check === kind &&
        (channel === undefined || ('channel' in result && result.channel === channel)),
    )?.result;
  const typed = reference.trim() === '' ? Number.NaN : Number(reference.replace(',', '.'));
  const busy = check.running !== null;
  const doing = check.text ? tell(check.text) : '';

  return (
    <section className={styles.panel} aria-labelledby="checks-title">
      <h2 id="checks-title">{t('check.title')}</h2>
      <div className={styles.all}>
        <Button onClick={tapAll}>{t('check.tapAll')}</Button>
        <Button onClick={() => void start({ check: 'noiseFloor' })}>{t('check.noiseFloor')}</Button>
        <Button onClick={() => void start({ check: 'lead' })}>{t('check.lead')}</Button>
        <div className={styles.reference}>
          <TextField
            label={t('check.reference')}
            error={refused}
            {...NUMERIC}
            value={reference}
            onChange={(event) => setReference(event.target.value)}
          />
        </div>
      </div>
      <div className={styles.state} role="status">
        {busy ? (
          <>
            <b>{doing}</b>
            {check.progress !== null && <progress max={1} value={check.progress} aria-label={doing} />}
            <Button
              onClick={() => {
                stopTapping();
                void command('checks.stop', null);
              }}
            >
              {t('check.stop')}
            </Button>
          </>
        ) : (
          <span className={styles.soft}>
            {t('check.tapHint')} {t('check.noiseFloorHint')} {t('check.leadHint')}
          </span>
        )}
      </div>
      <ul className={styles.results}>
        <Result result={newest('noiseFloor')} />
        <Result result={newest('lead')} />
      </ul>
      <ol className={styles.channels}>
        {work.rigging.channels.map(({ channel, position, pickup, relative }) => {
          const calibration = newest('calibration', channel);
          const one = (kind: 'tap' | 'polarity' | 'calibration') => ({
            'aria-label': t('check.forChannel', { check: t(`check.${kind}`), channel }),
            title: kind === 'tap' ? undefined : t(`check.${kind}Hint`),
          });
          return (
            <li key={channel}>
              <b className={styles.number}>{channel}</b>
              <span>{positionName(t, position)}</span>
              <span className={styles.buttons}>
                <Button {...one('tap')} onClick={() => void start({ check: 'tap', channel })}>
                  {t('check.tap')}
                </Button>
                <Button {...one('polarity')} onClick={() => void start({ check: 'polarity', channel })}>
                  {t('check.polarity')}
                </Button>
                <Button
                  {...one('calibration')}
                  onClick={() => void start({ check: 'calibration', channel, reference_m_s2: typed })}
                >
                  {t('check.calibration')}
                </Button>
                {pickup !== null &&
                  calibration?.check === 'calibration' &&
                  calibration.verdict === 'calibrated' && (
                    <Button
                      onClick={() =>
                        void changeWork('rigging.useCalibration', { visitId, channel }).then(
                          () => onScale(channel, false),
                          fail,
                        )
                      }
                    >
                      {t('check.useCalibration', { pickup })}
                    </Button>
                  )}
                <label className={styles.relative}>
                  <input
                    type="checkbox"
                    checked={relative}
                    aria-label={t('check.markRelative', { channel })}
                    onChange={(event) =>
                      void changeWork('rigging.markRelative', {
                        visitId,
                        channel,
                        relative: event.target.checked,
                      }).then(() => onScale(channel, event.target.checked), fail)
                    }
                  />
                  {t('check.relative')}
                </label>
              </span>
              <ul className={styles.results}>
                <Result result={newest('tap', channel)} />
                <Result result={newest('polarity', channel)} />
                <Result result={calibration} />
              </ul>
            </li>
          );
        })}
      </ol>
    </section>
  );
}

function Result({ result }: { result: CheckResult | undefined }) {
  const { t } = useTranslation();
  const tell = useTell();
  if (!result) return null;
  const good = GOOD.includes(result.verdict);
  const doubtful = doubtfulChannels(result);
  return (
    <li className={good ? undefined : styles.bad}>
      {t(good ? 'check.good' : 'check.bad')} {tell(result.text)}
      {doubtful.length > 0 && (
        <ul>
          {doubtful.map(({ channel, text }) => (
            <li key={channel}>{tell(text)}</li>
          ))}
        </ul>
      )}
    </li>
  );
}

/** Of a check of all channels: those with something to say, and what to do about it. */
function doubtfulChannels(result: CheckResult): readonly { channel: number; text: Message }[] {
  if (result.check === 'noiseFloor') return result.channels.filter((c) => c.verdict !== 'quiet');
  if (result.check === 'lead') return result.channels.filter((c) => c.faults.length > 0);
  return [];
}

/** Taps in turn: each channel that has answered is followed by the next. */
function useTapAll(work: VisitWork) {
  const { visitId } = work;
  const startCheck = useApp((s) => s.startCheck);
  const fail = useApp((s) => s.fail);
  const [waitingFor, setWaitingFor] = useState<number | null>(null);
  const asked = useRef(0);
  const channels = work.rigging.channels.map((c) => c.channel);
  const newest = work.checks[0];
  const ask = (channel: number | undefined) => {
    setWaitingFor(channel ?? null);
    if (channel === undefined) return;
    asked.current = newest?.id ?? 0;
    startCheck(visitId, { check: 'tap', channel }).catch(fail);
  };
  // biome-ignore lint/correctness/useExhaustiveDependencies: only a new result leads on
  useEffect(() => {
    if (waitingFor === null || !newest || newest.id <= asked.current) return;
    if (newest.result.check === 'tap' && newest.result.channel === waitingFor)
      ask(channels[channels.indexOf(waitingFor) + 1]);
  }, [newest?.id]);
  return { start: () => ask(channels[0]), stop: () => setWaitingFor(null) };
}
