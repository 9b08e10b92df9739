import {
  EVIDENCE_SOURCE,
  type EvidencePlace,
  type EvidenceSound,
  type FINDINGS_REQUESTS,
} from '../../shared/contract/findings-requests.ts';
import { type Message, message } from '../../shared/messages/message.ts';
import type { AnalysisDesk } from '../findings/analysis-desk.ts';
import type { EvidencePlayer } from '../findings/evidence-player.ts';
import { LiveError, type LiveSession } from '../live/live-session.ts';
import type { Handlers } from './dispatch.ts';

const CHANNEL: Record<EvidencePlace, number> = { loud: 1, quiet: 2 };

/** What is asked about the source of a visit's noise. */
export function findingsHandlers(
  desk: AnalysisDesk,
  player: EvidencePlayer,
  live: LiveSession,
): Pick<Handlers, keyof typeof FINDINGS_REQUESTS> {
  let playing: { visitId: number; sound: EvidenceSound } | null = null;
  const refuseWhileRecording = (told: Message): void => {
    if (live.state().recording) throw new LiveError(told);
  };
  const isPlaying = (visitId: number): boolean => {
    const { phase, source, visitId: open } = live.state();
    return phase === 'playing' && source?.name === EVIDENCE_SOURCE && open === visitId;
  };
  return {
    'findings.get': ({ visitId }) => desk.kept(visitId),
    'findings.analyse': ({ visitId }) => {
      refuseWhileRecording(message('error.recordingBeforeAnalysis'));
      return desk.analyse(visitId);
    },
    'findings.cancel': ({ visitId }) => desk.cancel(visitId),
    'findings.play': async ({ visitId, place }) => {
      refuseWhileRecording(message('error.recordingBeforeListening'));
      if (playing?.visitId !== visitId || !isPlaying(visitId)) {
        playing = { visitId, sound: await player.make(visitId) };
        await live.open({ source: { kind: 'evidence', visitId }, visitId, channels: [] });
        // Nothing but the cut itself stands between the evidence and the ear.
        await live.listen({ on: true, band: 'full' });
      }
      live.hear({ channel: CHANNEL[place] });
      return playing.sound;
    },
  };
}
