import { useEffect, useState } from 'react';
import { useTranslation } from 'react-i18next';
import { Link } from 'wouter';
import type { LiveState } from '../../../shared/contract/live.ts';
import { formatDuration } from '../../format.ts';
import { KEYS } from '../../keys.ts';

/** After a recording has ended: it is kept, and what it tells is one key away. */
export function RunEnded({ live }: { live: LiveState }) {
  const { t } = useTranslation();
  const [seconds, setSeconds] = useState<number | null>(null);
  const recorded = live.recording?.seconds;
  useEffect(() => {
    if (recorded !== undefined) setSeconds(recorded);
  }, [recorded]);
  if (seconds === null || live.recording || live.visitId === null) return null;
  return (
    <p role="status">
      {t('findings.runEnded', { duration: formatDuration(seconds) })}{' '}
      <Link href={`/visits/${live.visitId}/findings`}>{t('findings.link')}</Link>{' '}
      <kbd>{KEYS.analyse.keys[0]}</kbd>
    </p>
  );
}
