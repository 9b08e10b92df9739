import type { RunningGear } from '../driveline/runningGear.ts';
import type { DrivingState } from '../driveline/words.ts';
import { type Message, message } from '../messages/message.ts';
import { knownTurns, type ShaftTurns } from './shaft-turns.ts';
import { meanRate, type RunSpeed } from './speed.ts';
import type { RunToAnalyse } from './visit-input.ts';

/** A segment that lies within the recording and is long enough to measure in. */
export type Stretch = {
  readonly from_s: number;
  readonly to_s: number;
  /** Null when the run has no segments: then the whole drive is taken. */
  readonly state: DrivingState | null;
  readonly gearRatio: number | null;
  readonly shafts: ShaftTurns;
  /** Turning rate of a wheel, Hz; null without speed. */
  readonly wheel_Hz: number | null;
};

const SHORTEST_S = 1;
/** Slower than this no steady noise can be judged: about 10 km/h. */
const SLOWEST_WHEEL_HZ = 1.4;

/** @returns the usable stretches and, for the user, why others were not used */
export function usableStretches(
  vehicle: RunningGear,
  run: RunToAnalyse,
  seconds: number,
  speed: RunSpeed,
): { stretches: Stretch[]; notices: Message[] } {
  const notices: Message[] = [];
  const rate = (from_s: number, to_s: number): number | null =>
    speed.motion ? meanRate(speed.motion, from_s, to_s) : null;
  let unusable = 0;
  const stretches = run.segments.flatMap((s): Stretch[] => {
    const to_s = Math.min(s.to_s, seconds);
    if (to_s - s.from_s < SHORTEST_S) {
      unusable++;
      return [];
    }
    const wheel_Hz = rate(s.from_s, to_s);
    if (wheel_Hz !== null && wheel_Hz < SLOWEST_WHEEL_HZ) {
      unusable++;
      return [];
    }
    const gearRatio = s.gearRatio ?? null;
    const shafts = knownTurns(vehicle, gearRatio);
    return [{ from_s: s.from_s, to_s, state: s.state, gearRatio, shafts, wheel_Hz }];
  });
  if (unusable > 0) {
    notices.push(message('notice.segmentsUnused', { unusable, all: run.segments.length }));
  }
  if (stretches.length === 0 && seconds >= SHORTEST_S) {
    notices.push(message(run.segments.length === 0 ? 'notice.noStates' : 'notice.noSegmentUsable'));
    const whole = { from_s: 0, to_s: seconds, state: null, gearRatio: null };
    stretches.push({ ...whole, shafts: knownTurns(vehicle, null), wheel_Hz: rate(0, seconds) });
  }
  return { stretches, notices };
}

/** Engine speeds nearer than this, as a share, are one gear's. */
const ONE_GEAR = 0.01;

/** True when the same gear was driven, as far as it is known. */
export function sameGear(a: Stretch, b: Stretch): boolean {
  const ratio = inputRatio(a, b);
  if (ratio !== null) return Math.abs(ratio - 1) < ONE_GEAR;
  return a.gearRatio === b.gearRatio && a.shafts.gearboxInput === b.shafts.gearboxInput;
}

/** By how much faster the gearbox's input turns in `b` than in `a` at the same road speed; null when not known. */
export function inputRatio(a: Stretch, b: Stretch): number | null {
  if (a.gearRatio !== null && b.gearRatio !== null) return b.gearRatio / a.gearRatio;
  const [from, to] = [a.shafts.gearboxInput, b.shafts.gearboxInput];
  return from === null || to === null ? null : to / from;
}
