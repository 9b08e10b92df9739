import { useLocation } from 'wouter';
import type { LiveState } from '../../../shared/contract/live.ts';
import { DRIVING_STATES } from '../../../shared/driveline/words.ts';
import { inside } from '../../../shared/units/units.ts';
import { useApp } from '../../store/context.ts';
import { type KeyHandlers, useKeys } from '../../use-keys.ts';
import type { TypedField } from './TypedField.tsx';
import { nextBand, useListenKeys } from './use-listen-keys.ts';

interface Local {
  type(field: TypedField): void;
  help(): void;
}

/** The live view's keys, each one request or one change of the display; the same for those who press with a pointer. */
export function useLiveKeys(live: LiveState, local: Local): KeyHandlers {
  const command = useApp((s) => s.command);
  const confirmRecheck = useApp((s) => s.confirmRecheck);
  const followCard = useApp((s) => s.followCard);
  const following = useApp((s) => s.roadProgress !== null);
  const flipSpokenPrompts = useApp((s) => s.flipSpokenPrompts);
  const listen = useListenKeys(live);
  const [, navigate] = useLocation();
  const units = useApp((s) => s.settings.units);
  const nudge = (by: number) => () => void command('live.speed', { nudge_km_h: inside(by, 'speed', units) });
  const state = (step: number) => () => {
    const at = DRIVING_STATES.indexOf(live.drivingState) + step + DRIVING_STATES.length;
    void command('live.drivingState', { state: DRIVING_STATES[at % DRIVING_STATES.length]! });
  };
  const handlers: KeyHandlers = {
    ...listen,
    record: () => void command('live.record', { on: live.recording === null }),
    mark: () => void command('live.mark', { text: '' }),
    drivingState: state(1),
    drivingStateBack: state(-1),
    faster: nudge(1),
    slower: nudge(-1),
    muchFaster: nudge(10),
    muchSlower: nudge(-10),
    typeSpeed: () => local.type('speed'),
    typeGearRatio: () => local.type('gearRatio'),
    recheckDone: confirmRecheck,
    followCard: () => void followCard(following ? null : live.visitId),
    nextManoeuvre: () => void command('roadCard.choose', { manoeuvreId: null }),
    spokenPrompts: flipSpokenPrompts,
    meterBand: () => void command('live.meterBand', { band: nextBand(live.meterBand) }),
    analyse: () => {
      if (live.visitId !== null && !live.recording) navigate(`/visits/${live.visitId}/findings`);
    },
    clearPeaks: () => void command('live.resetPeaks', null),
    help: local.help,
  };
  useKeys('live', handlers);
  return handlers;
}
