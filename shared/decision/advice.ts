import type { HardStop, InspectionFindings } from '../diagnosis/inspection.ts';
import { hardStops } from '../diagnosis/inspection.ts';
import type { Source, Verdict } from '../driveline/words.ts';
import { type Message, message } from '../messages/message.ts';
import { OPTIONS, type Option } from './decision.ts';

/** What the decision rests on; null where it is not known. */
export type Grounds = {
  readonly inspection: InspectionFindings;
  readonly verdict: Verdict | null;
  /** The part in question. */
  readonly source: Source | null;
  readonly levelHasRisen: boolean | null;
};

export type OptionAdvice = {
  readonly option: Option;
  /** A hard stop takes the option away. */
  readonly offered: boolean;
  readonly fits: 'yes' | 'notKnown' | 'advisedAgainst';
  /** The risk, a sentence each. */
  readonly risk: readonly Message[];
};

export type Advice = { readonly stops: readonly HardStop[]; readonly options: readonly OptionAdvice[] };

/** Whether debris, play and level speak for waiting: each true, false, or null where nobody has looked. */
function groundsForWaiting({ inspection, source, levelHasRisen }: Grounds) {
  const corner = /^wheel-bearing-(.+)$/.exec(source ?? '')?.[1];
  const wheels = corner ? inspection.wheels.filter((w) => w.wheel === corner) : inspection.wheels;
  const plays = wheels.map((w) => w.play).filter((p) => p !== null);
  const unit =
    source === 'transmission'
      ? ['transmission', 'transfer-case']
      : source?.startsWith('differential')
        ? [source]
        : null;
  const debris = inspection.units
    .filter((u) => unit === null || unit.includes(u.unit))
    .map((u) => u.debris)
    .filter((d) => d !== null);
  return {
    // A wheel bearing has no drain plug, a gear no wheel to shake: what the part cannot show is not asked for.
    debrisFine: corner
      ? true
      : debris.length === 0
        ? null
        : debris.every((d) => d === 'clean' || d === 'finePaste'),
    noPlay: unit ? true : plays.length === 0 ? null : plays.every((p) => p === 'none'),
    notRisen: levelHasRisen === null ? null : !levelHasRisen,
  };
}

/**
 * Which options stand, and what each risks. Play or chips: nobody drives, so neither watching nor doing nothing is
 * offered. 'Service and watch' fits when the debris is fine, there is no play and the level has not risen.
 */
export function adviceOn(grounds: Grounds): Advice {
  const stops = hardStops(grounds.inspection);
  const stopped = stops.length > 0;
  const { debrisFine, noPlay, notRisen } = groundsForWaiting(grounds);
  const waiting = [debrisFine, noPlay, notRisen];
  const against = waiting.includes(false);
  const unknown = waiting.includes(null);
  const proved = grounds.verdict === 'pinpointed';

  const doubts = [
    debrisFine === false && message('risk.debrisCoarse'),
    debrisFine === null && message('risk.debrisUnknown'),
    noPlay === false && message('risk.playFound'),
    noPlay === null && message('risk.playUnknown'),
    notRisen === false && message('risk.risen'),
    notRisen === null && message('risk.riseUnknown'),
  ].filter((d) => d !== false);

  const waitingFits = against ? 'advisedAgainst' : unknown ? 'notKnown' : 'yes';
  const advice: Record<Option, Omit<OptionAdvice, 'option'>> = {
    replace: {
      offered: true,
      fits: proved || stopped ? 'yes' : 'notKnown',
      risk: [message(proved ? 'risk.replaceProved' : 'risk.replaceUnproved')],
    },
    watch: {
      offered: !stopped,
      fits: stopped ? 'advisedAgainst' : waitingFits,
      risk: [...doubts, message('risk.watch')],
    },
    test: {
      offered: true,
      fits: proved ? 'notKnown' : 'yes',
      risk: [message(proved ? 'risk.testProved' : 'risk.testUnproved')],
    },
    nothing: {
      offered: !stopped,
      fits: stopped || against ? 'advisedAgainst' : 'notKnown',
      risk: [...doubts, message('risk.nothing')],
    },
  };
  return { stops, options: OPTIONS.map((option) => ({ option, ...advice[option] })) };
}
