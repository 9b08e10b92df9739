import type { CommonGround } from '../../../shared/contract/returning-car.ts';
import { message } from '../../../shared/messages/message.ts';
import { useApp } from '../../store/context.ts';
import type { KeyHandlers } from '../../use-keys.ts';
import { useListenKeys } from '../live/use-listen-keys.ts';

/** The name under which the main side plays two runs side by side. */
const PAIR = 'Both visits in turn';
export type Which = 'earlier' | 'later';
const CHANNEL: Record<Which, number> = { earlier: 1, later: 2 };

/** Both visits as one source: heard in turn at the same gain, with the listening keys of the live view. */
export function usePairPlayer(ground: CommonGround | null) {
  const live = useApp((s) => s.live!);
  const command = useApp((s) => s.command);
  const notify = useApp((s) => s.notify);
  const playing = live.phase === 'playing' && live.source?.name === PAIR;
  const heard: Which | null = !playing ? null : live.heard === CHANNEL.later ? 'later' : 'earlier';

  const hear = async (which: Which) => {
    if (!ground) return;
    if (live.recording) return notify(message('error.recordingBeforePlaying'));
    if (!playing) {
      const { position: _, ...where } = ground;
      await command('visits.hearBoth', where);
    }
    await command('live.hear', { channel: CHANNEL[which] });
  };
  const stop = () => void command('live.close', null);
  const keys: KeyHandlers = {
    ...useListenKeys(live),
    hearChannel: (name) => {
      if (name === '1') void hear('earlier');
      if (name === '2') void hear('later');
    },
    hearPrevious: () => void hear(heard === 'earlier' ? 'later' : 'earlier'),
    playStop: () => (playing ? stop() : void hear('earlier')),
  };
  return { heard, hear, stop, keys };
}
