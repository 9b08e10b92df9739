import { useTranslation } from 'react-i18next';
import { isLeftOut } from '../../../shared/diagnosis/channel-faults.ts';
import type { Findings } from '../../../shared/diagnosis/findings.ts';
import { useTell } from '../../i18n/use-tell.ts';
import { positionName } from '../../i18n/words.ts';
import styles from './RecordingDoubts.module.css';

/** Bad channels by name, and whatever else was left out or is in doubt. */
export function RecordingDoubts({ findings }: { findings: Findings }) {
  const { t } = useTranslation();
  const tell = useTell();
  const faulty = findings.channels.filter((c) => c.faults.length > 0);
  // The analysis has a sentence on each fault as well; here they stand together by channel.
  const notices = findings.notices.filter(
    ({ id }) => id !== 'notice.channel' && id !== 'notice.channelLeftOut',
  );
  if (faulty.length + notices.length === 0) return null;
  return (
    <section className={styles.box} aria-labelledby="recording-title">
      <h2 id="recording-title">⚠ {t('findings.channels.title')}</h2>
      <ul>
        {faulty.map((c) => (
          <li key={`${c.run} ${c.channel}`}>
            <b>
              {t('findings.channels.channel', {
                run: c.run,
                channel: c.channel,
                position: positionName(t, c.position),
              })}
            </b>{' '}
            {c.faults.map((fault) => t(`findings.channels.fault.${fault}`)).join(' ')}{' '}
            {isLeftOut(c.faults) && t('findings.channels.leftOut')}
          </li>
        ))}
        {notices.map(tell).map((notice) => (
          <li key={notice}>{notice}</li>
        ))}
      </ul>
    </section>
  );
}
