import { useTranslation } from 'react-i18next';
import type { EvidencePlace } from '../../../shared/contract/findings-requests.ts';
import type { Convincing } from '../../../shared/diagnosis/findings.ts';
import { Button } from '../../components/Button.tsx';
import { KeyButton } from '../../components/KeyButton.tsx';
import { formatDuration, formatNumber, formatSigned } from '../../format.ts';
import { useTell } from '../../i18n/use-tell.ts';
import { positionName } from '../../i18n/words.ts';
import { KEYS } from '../../keys.ts';
import { useApp } from '../../store/context.ts';
import type { KeyHandlers } from '../../use-keys.ts';
import styles from './EvidencePlayer.module.css';
import type { useEvidencePlayer } from './use-evidence-player.ts';

/** Below this a loudspeaker gives next to nothing (common practice). */
const HARDLY_HEARD_Hz = 40;

interface Props {
  convincing: Convincing | null;
  name: string | null;
  player: ReturnType<typeof useEvidencePlayer>;
  keys: KeyHandlers;
}

/** The evidence for the ear: what convinced, alone, at its loud and its faint place. */
export function EvidencePlayer({ convincing, name, player, keys }: Props) {
  const { t, i18n } = useTranslation();
  const tell = useTell();
  const listening = useApp((s) => s.live!.listening);
  if (!convincing) return <p>{t('findings.play.nothing')}</p>;
  const { playing, making, place, sound } = player;
  const at = (key: EvidencePlace) => (
    <button
      type="button"
      className={styles.place}
      aria-pressed={place === key}
      disabled={making}
      onClick={() => player.play(key)}
    >
      <b>{positionName(t, convincing[key].position)}</b>
      <small>{t(`findings.play.${key}`)}</small>
    </button>
  );
  return (
    <section className={styles.panel} aria-labelledby="play-title">
      <h2 id="play-title">{t('findings.play.title')}</h2>
      <p>
        <b>{name}</b>. {t('findings.play.sameGain')}
      </p>
      <div className={styles.row}>
        <Button primary disabled={making} onClick={player.playOrStop}>
          {making
            ? t('findings.play.making')
            : `${playing ? `■ ${t('findings.play.stop')}` : `▶ ${t('findings.play.start')}`} (${t('keyCap.Space')})`}
        </Button>
        {at('loud')}
        <KeyButton action="flipPlaces" keys={keys} />
        {at('quiet')}
      </div>
      <p className={styles.soft} role="status">
        {sound && (
          <>
            {sound.difference_db >= 1
              ? t('findings.play.stronger', { db: Math.round(sound.difference_db) })
              : t('findings.play.notStronger')}{' '}
            {t('findings.play.from', {
              run: sound.run,
              state: sound.state ? t(`state.${sound.state}`).toLowerCase() : t('findings.play.anyState'),
              from: formatDuration(sound.from_s),
              to: formatDuration(sound.to_s),
            })}{' '}
            {sound.frequency_Hz !== null &&
              t('findings.play.frequency', {
                hz: formatNumber(Number(sound.frequency_Hz.toPrecision(2)), i18n.language),
              })}{' '}
            {sound.frequency_Hz !== null && sound.frequency_Hz < HARDLY_HEARD_Hz && t('findings.play.felt')}
          </>
        )}
        {playing && !listening.on && ` ${t('findings.play.soundOff', { key: KEYS.listenOnOff.keys[0] })}`}
        {playing &&
          listening.on &&
          ` (${t('findings.play.gain', { gain: formatSigned(listening.gain_db) })})`}
      </p>
      {playing && listening.problem && <p className={styles.problem}>⚠ {tell(listening.problem)}</p>}
    </section>
  );
}
