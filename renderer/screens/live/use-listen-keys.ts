import { type Band, BandSchema, type LiveState } from '../../../shared/contract/live.ts';
import { useApp } from '../../store/context.ts';
import type { KeyHandlers } from '../../use-keys.ts';

const GAIN_STEP_db = 3;

export function nextBand(band: Band): Band {
  const bands = BandSchema.options;
  return bands[(bands.indexOf(band) + 1) % bands.length]!;
}

/** The keys that the live view and a reopened visit share: what is heard, and how it is shown. */
export function useListenKeys(live: LiveState): KeyHandlers {
  const command = useApp((s) => s.command);
  const nextUnit = useApp((s) => s.nextUnit);
  const flipOrderRange = useApp((s) => s.flipOrderRange);
  const dismissNotices = useApp((s) => s.dismissAll);
  const flipTheme = useApp((s) => s.flipTheme);
  const gain = (step: number) => () => {
    const gain_db = Math.min(60, Math.max(-40, live.listening.gain_db + step));
    void command('live.listen', { gain_db });
  };
  return {
    hearChannel: (name) => {
      const channel = Number(name);
      if (live.channels.some((c) => c.channel === channel)) void command('live.hear', { channel });
    },
    hearNext: () => void command('live.hear', { step: 1 }),
    hearAbove: () => void command('live.hear', { step: -1 }),
    hearPrevious: () => void command('live.hearPrevious', null),
    listenBand: () => void command('live.listen', { band: nextBand(live.listening.band) }),
    listenOnOff: () => void command('live.listen', { on: !live.listening.on }),
    louder: gain(GAIN_STEP_db),
    softer: gain(-GAIN_STEP_db),
    unit: nextUnit,
    orderRange: flipOrderRange,
    dayNight: flipTheme,
    dismissNotices,
  };
}
