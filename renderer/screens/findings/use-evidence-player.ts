import { useEffect } from 'react';
import { EVIDENCE_SOURCE, type EvidencePlace } from '../../../shared/contract/findings-requests.ts';
import { message } from '../../../shared/messages/message.ts';
import { useApp } from '../../store/context.ts';

/** Plays what convinced, and flips between its two places while it plays. */
export function useEvidencePlayer(visitId: number) {
  const live = useApp((s) => s.live!);
  const command = useApp((s) => s.command);
  const playEvidence = useApp((s) => s.playEvidence);
  const notify = useApp((s) => s.notify);
  const making = useApp((s) => s.makingEvidence);
  const sound = useApp((s) => (s.evidenceSound?.visitId === visitId ? s.evidenceSound : null));
  const playing =
    live.phase === 'playing' && live.source?.name === EVIDENCE_SOURCE && live.visitId === visitId;
  const place: EvidencePlace | null = playing ? (live.heard === 2 ? 'quiet' : 'loud') : null;

  // Who leaves the screen has heard enough.
  useEffect(() => {
    if (!playing) return undefined;
    return () => void command('live.close', null);
  }, [playing, command]);

  const play = (at: EvidencePlace) => {
    if (live.recording) return notify(message('error.recordingBeforePlaying'));
    void playEvidence(visitId, at);
  };
  return {
    playing,
    making,
    sound,
    place,
    play,
    playOrStop: () => (playing ? void command('live.close', null) : play('loud')),
    flip: () => play(place === 'loud' ? 'quiet' : 'loud'),
  };
}
