import type { Segment, SpeedReadings } from '../bundle/visit.ts';
import type { DrivingState } from '../driveline/words.ts';
import { smoothSpeed } from '../dsp/speed-smooth.ts';
import type { FoundSegment } from './manoeuvre.ts';

/** Shorter stretches hold too few turns of a wheel to average over. */
const SHORTEST_S = 3;
/** The torque must be alike all along: the acceleration may stray from its mean by this, or by half of itself. */
const ALIKE_M_S2 = 0.3;
const ALIKE = 0.5;
/** Over a wider change of speed a level says little; the next stretch begins. */
const WIDEST_KM_H = 15;
/** Harder than engine braking and than a family car pulls in a high gear: the brake, or a gear change. */
const BRAKING_M_S2 = 1.5;
const PULLING_M_S2 = 2.5;
const SLOWEST_KM_H = 15;
/** Readings come up to this late: the end of a stretch is less certain than its beginning. */
const LATENESS_S = 1;
/** The hand needs this long on the key. */
const KEYING_S = 0.5;
/** A slope of 5 % pulls as much as this; what is smaller says nothing of the torque. */
const SLOPE_M_S2 = 0.5;

/**
 * What air and rolling take off a car that is neither pulled nor braked: 0.11 m/s² of rolling and 0.00026 of the
 * speed squared (1500 kg, drag area 0.65 m², rolling resistance 0.011; typical textbook values, from memory).
 */
const resistance_m_s2 = (v_m_s: number): number => 0.11 + 0.00026 * v_m_s * v_m_s;

const STEP_S = 0.5;
/** Over this span the acceleration is read off. */
const SPAN_S = 2;

type Moment = {
  readonly t_s: number;
  readonly km_h: number;
  readonly m_s2: number;
  readonly told: 'drive' | 'coast' | null;
  readonly keyed: Segment | null;
};

/**
 * Cuts a run into steady stretches by its speed: speed held, or changing evenly; without the brake; under one keyed
 * state and gear. The state is the speed's where it is beyond doubt (the wheels pull or brake by more than a slope
 * could), otherwise the one that was keyed; a sway is always keyed. Where neither tells it, there is no stretch.
 * @param speed readings as they came; at least three
 * @param keyed what the technician keyed, or what the prompts asked for, over the run
 * @param duration_s length of the recording
 */
export function steadySegments(
  speed: SpeedReadings,
  keyed: readonly Segment[],
  duration_s: number,
): FoundSegment[] {
  const moments = momentsOf(speed, keyed, duration_s);
  const found: FoundSegment[] = [];
  let from = 0;
  for (let i = 1; i <= moments.length; i++) {
    if (i < moments.length && belongs(moments, from, i)) continue;
    const segment = segmentOf(moments.slice(from, i), moments[i] ?? null);
    if (segment) found.push(segment);
    from = i;
  }
  return found;
}

function momentsOf(speed: SpeedReadings, keyed: readonly Segment[], duration_s: number): Moment[] {
  const [first, last] = [speed.t_s[0], speed.t_s.at(-1)];
  if (speed.t_s.length < 3 || first === undefined || last === undefined || last - first < SPAN_S) return [];
  const smooth = smoothSpeed(speed.t_s, speed.v_km_h);
  const step = smooth.t_s[1]! - smooth.t_s[0]!;
  const at = (t: number): number =>
    smooth.value[Math.min(smooth.value.length - 1, Math.max(0, Math.round((t - smooth.t_s[0]!) / step)))]!;
  const moments: Moment[] = [];
  const end = Math.min(last, duration_s);
  for (let t_s = Math.max(0, first); t_s <= end; t_s += STEP_S) {
    const [a, b] = [Math.max(first, t_s - SPAN_S / 2), Math.min(last, t_s + SPAN_S / 2)];
    const km_h = at(t_s);
    const m_s2 = (at(b) - at(a)) / 3.6 / (b - a);
    const wheels_m_s2 = m_s2 + resistance_m_s2(km_h / 3.6);
    moments.push({
      t_s,
      km_h,
      m_s2,
      told: wheels_m_s2 > SLOPE_M_S2 ? 'drive' : wheels_m_s2 < -SLOPE_M_S2 ? 'coast' : null,
      keyed: keyed.find((k) => t_s >= k.from_s && t_s < k.to_s) ?? null,
    });
  }
  return moments;
}

const usable = (m: Moment): boolean =>
  m.km_h >= SLOWEST_KM_H && m.m_s2 > -BRAKING_M_S2 && m.m_s2 < PULLING_M_S2;

/** Whether moment `i` goes on with the stretch that began at `from`. */
function belongs(moments: readonly Moment[], from: number, i: number): boolean {
  const [begin, now, before] = [moments[from]!, moments[i]!, moments[i - 1]!];
  if (!usable(begin) || !usable(now) || now.keyed !== before.keyed) return false;
  const passed_s = before.t_s - begin.t_s;
  if (passed_s >= SPAN_S) {
    const mean_m_s2 = (before.km_h - begin.km_h) / 3.6 / passed_s;
    if (Math.abs(now.m_s2 - mean_m_s2) > Math.max(ALIKE_M_S2, ALIKE * Math.abs(mean_m_s2))) return false;
  }
  return Math.abs(now.km_h - begin.km_h) <= WIDEST_KM_H;
}

/** @param next what ended the stretch; null at the end of the run */
function segmentOf(stretch: readonly Moment[], next: Moment | null): FoundSegment | null {
  const [begin, end] = [stretch[0]!, stretch.at(-1)!];
  if (!usable(begin)) return null;
  const { keyed } = begin;
  const told = majority(stretch);
  const sways = keyed?.state === 'swayLeft' || keyed?.state === 'swayRight';
  const state: DrivingState | null = sways ? keyed.state : (told ?? keyed?.state ?? null);
  if (state === null) return null;
  const keyedHere = keyed !== null && begin.t_s - keyed.from_s < STEP_S;
  const from_s = begin.t_s + (keyedHere ? KEYING_S : 0);
  const to_s = endOf(end, next, begin);
  if (to_s - from_s < SHORTEST_S) return null;
  const mean_km_h = stretch.reduce((sum, m) => sum + m.km_h, 0) / stretch.length;
  return {
    segment: { from_s, to_s, state, gearRatio: keyed?.gearRatio ?? null },
    mean_km_h,
    acceleration_m_s2: (end.km_h - begin.km_h) / 3.6 / Math.max(STEP_S, end.t_s - begin.t_s),
    stateFrom: told !== null && !sways ? 'speed' : 'keyed',
  };
}

/** A key ends a stretch at its own moment; a change that the readings show has begun before they showed it. */
function endOf(end: Moment, next: Moment | null, begin: Moment): number {
  if (next && next.keyed !== begin.keyed) return next.t_s - KEYING_S;
  const goesOn = next !== null && usable(next) && Math.abs(next.km_h - begin.km_h) > WIDEST_KM_H;
  return goesOn ? next.t_s : end.t_s - LATENESS_S;
}

/** The state that the speed tells for most of the stretch; null where it mostly tells none. */
function majority(stretch: readonly Moment[]): 'drive' | 'coast' | null {
  for (const state of ['drive', 'coast'] as const) {
    if (stretch.filter((m) => m.told === state).length > 0.7 * stretch.length) return state;
  }
  return null;
}
