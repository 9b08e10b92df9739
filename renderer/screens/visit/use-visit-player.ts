import { useState } from 'react';
import type { Run } from '../../../shared/contract/garage.ts';
import { message } from '../../../shared/messages/message.ts';
import { useApp } from '../../store/context.ts';
import type { KeyHandlers } from '../../use-keys.ts';
import { useListenKeys } from '../live/use-listen-keys.ts';
import { runSeconds } from './run-stretches.ts';

const SEEK_s = 5;

/** Which channel is looked at, whether it plays, and from where; the same listening keys as in the live view. */
export function useVisitPlayer(run: Run) {
  const live = useApp((s) => s.live!);
  const feed = useApp((s) => s.levels);
  const command = useApp((s) => s.command);
  const openLive = useApp((s) => s.openLive);
  const notify = useApp((s) => s.notify);
  const pickups = run.channels.filter((c) => c.role === 'vibration').map((c) => c.channel);
  const [chosen, setChosen] = useState({ now: pickups[0] ?? null, before: null as number | null });
  const [start_s, setStart] = useState(0);

  const playing = live.phase === 'playing' && live.source?.name === run.file;
  const heard = playing ? live.heard : chosen.now;

  const choose = (channel: number | undefined | null) => {
    if (channel == null || channel === heard || !pickups.includes(channel)) return;
    setChosen({ now: channel, before: heard });
    if (playing) void command('live.hear', { channel });
  };
  const step = (by: 1 | -1) => {
    const at = pickups.indexOf(heard ?? -1) + by + pickups.length;
    choose(pickups[at % pickups.length]);
  };
  const playFrom = async (from_s: number) => {
    if (live.recording) return notify(message('error.recordingBeforePlaying'));
    const channels = run.channels;
    if (!(await openLive({ source: { kind: 'run', runId: run.id, from_s }, visitId: run.visitId, channels })))
      return;
    if (heard !== null) void command('live.hear', { channel: heard });
  };
  const seek = (to_s: number) => {
    const from_s = Math.min(Math.max(0, to_s), Math.max(0, runSeconds(run) - 1));
    setStart(from_s);
    if (playing) void playFrom(from_s);
  };
  const here = () => (playing ? (feed.latest()?.at_s ?? start_s) : start_s);
  const playOrStop = () => {
    if (!playing) return void playFrom(start_s);
    setStart(here());
    void command('live.close', null);
  };

  const keys: KeyHandlers = {
    ...useListenKeys(live),
    hearChannel: (name) => choose(Number(name)),
    hearNext: () => step(1),
    hearAbove: () => step(-1),
    hearPrevious: () => choose(playing ? live.heardBefore : chosen.before),
    playStop: playOrStop,
    seekBack: () => seek(here() - SEEK_s),
    seekForward: () => seek(here() + SEEK_s),
  };
  return { playing, heard, choose, start_s, seek, playOrStop, keys };
}
