import { partOrders } from '../driveline/orders.ts';
import { standingLines } from '../dsp/speed-lines.ts';
import { geared, motionFromSpeed, rateAt, type ShaftMotion } from '../dsp/speed-motion.ts';
import type { SpeedReadings } from '../dsp/speed-readings.ts';
import { type RefinedSpeed, refineSpeed, type SpeedRefinement } from '../dsp/speed-refine.ts';
import { motionFromPulses, repairPulses, tachoEdges } from '../dsp/tacho.ts';
import { type Message, message } from '../messages/message.ts';
import { isLeftOut } from './channel-faults.ts';
import type { DigestedTacho, RunDigest } from './run-digest.ts';
import type { RunToAnalyse, VisitToAnalyse } from './visit-input.ts';

/**
 * How well a run's speed is known. `sharp`: lines are narrow and lie where their orders say. `steady`: lines are
 * narrow, but all orders are off by one factor near 1 that nothing told. `rough`: as the readings came.
 */
export type SpeedGrade = 'sharp' | 'steady' | 'rough';

/** How the wheels turned during a run, and how well that is known. */
export type RunSpeed = {
  /** Turning of a wheel; null when nothing tells it. */
  readonly motion: ShaftMotion | null;
  readonly grade: SpeedGrade;
  /** Reading over true speed: the true rolling circumference is this times the nominal; null when not found. */
  readonly readingFactor: number | null;
  /** For the user, null when all is well. */
  readonly notice: Message | null;
};

/** A middling car tyre, for coarse use where the circumference is not known (common practice). */
const MIDDLING_CIRCUMFERENCE_M = 2;
/** Tyre wear and receivers together stay within this; a fit beyond it followed the wrong lines. */
const CREDIBLE_DEVIATION = 0.035;
/** Channels that the refinement listens to: more cost time and tell little more. */
const REFINING_CHANNELS = 3;

/** @param circumferenceFactor true over nominal rolling circumference, where another run has told it */
export function runSpeed(
  visit: VisitToAnalyse,
  run: RunToAnalyse,
  digest: RunDigest,
  circumferenceFactor = 1,
): RunSpeed {
  const fromTacho = digest.tacho && tachoMotion(visit, run, digest.tacho);
  if (fromTacho) return { motion: fromTacho, grade: 'sharp', readingFactor: null, notice: null };
  const tachoNotice = digest.tacho ? message('notice.tacho') : null;
  const readings = run.speed;
  if (!readings || readings.t_s.length < 3) {
    return {
      motion: null,
      grade: 'rough',
      readingFactor: null,
      notice: message(noSpeedBecause(visit, run, digest.tacho)),
    };
  }
  const circumference = visit.vehicle.rollingCircumference_m ?? null;
  const hzPerUnit = 1 / 3.6 / ((circumference ?? MIDDLING_CIRCUMFERENCE_M) * circumferenceFactor);
  const { lines } = partOrders(visit.vehicle);
  const orders = [
    ...new Set(
      lines
        .filter((l) => l.kind === 'turning' || l.kind === 'joint' || l.kind === 'mesh')
        .flatMap((l) => (l.orderAtWheel === null ? [] : [l.orderAtWheel])),
    ),
  ];
  const channels = digest.channels.filter((c) => !isLeftOut(c.faults)).slice(0, REFINING_CHANNELS);
  if (channels.length === 0)
    return { motion: null, grade: 'rough', readingFactor: null, notice: tachoNotice };
  const rate_Hz = channels[0]!.digest.plan.orderRate_Hz;
  const signals = channels.map((c) => c.digest.low);
  const asRead: SpeedReadings = { t_s: readings.t_s, value: readings.v_km_h, hzPerUnit };
  const sharp = (motion: ShaftMotion, factor: number | null): RunSpeed => ({
    motion,
    grade: 'sharp',
    readingFactor: circumference === null ? null : factor,
    notice: tachoNotice,
  });
  try {
    const refined = refineSpeed(signals, rate_Hz, asRead, orders);
    const told = credible(refined);
    if (told) return sharp(told.motion, told.readingFactor * circumferenceFactor);
    const course = courseByAnyLines(signals, rate_Hz, asRead);
    if (course) {
      // Another run has told the scale, and this course has it already.
      if (circumferenceFactor !== 1) return sharp(course, null);
      // Along so good a course the known lines may stand out after all, and then they tell the scale.
      const asFollowed = { t_s: course.t_s, value: course.hz, hzPerUnit: 1 };
      const placed = credible(refineSpeed(signals, rate_Hz, asFollowed, orders));
      if (placed) return sharp(placed.motion, placed.readingFactor);
      return { motion: course, grade: 'steady', readingFactor: null, notice: tachoNotice };
    }
    return {
      motion: refined.motion,
      grade: 'rough',
      readingFactor: null,
      notice: message('notice.notSharper', {
        why: refined.kind === 'refined' ? 'otherTyre' : refined.reason,
      }),
    };
  } catch (cause) {
    if (!(cause instanceof RangeError)) throw cause;
    return {
      motion: null,
      grade: 'rough',
      readingFactor: null,
      notice: message('notice.speedUnusable', { why: cause.message }),
    };
  }
}

/** Why a run has no speed: pulses of a shaft whose turns for one of a wheel nobody knows are as good as none. */
function noSpeedBecause({ vehicle }: VisitToAnalyse, run: RunToAnalyse, tacho: DigestedTacho | null) {
  if (!tacho) return 'notice.noSpeed';
  const { shaft } = tacho;
  if (shaft !== 'propshaft' && shaft !== 'engine') return 'notice.tachoNoOrders';
  const gears = [null, ...run.segments.map((s) => s.gearRatio ?? null)];
  const isGeared = gears.some((gear) => partOrders(vehicle, gear).turnsPerWheelTurn[shaft] !== null);
  return isGeared ? 'notice.tachoNoOrders' : 'notice.tachoNoTeeth';
}

const credible = (found: SpeedRefinement): RefinedSpeed | null =>
  found.kind === 'refined' && Math.abs(found.readingFactor - 1) < CREDIBLE_DEVIATION ? found : null;

/**
 * The course of the speed from whatever lines stand out, with the readings' own scale: the tones of a car whose teeth
 * nobody counted turn with its wheels as well as any other's.
 */
function courseByAnyLines(
  signals: readonly Float32Array[],
  rate_Hz: number,
  readings: SpeedReadings,
): ShaftMotion | null {
  const lines = standingLines(signals, rate_Hz, readings);
  if (lines.length === 0) return null;
  const found = refineSpeed(signals, rate_Hz, readings, lines);
  return found.kind === 'refined' ? geared(found.motion, found.readingFactor) : null;
}

function tachoMotion(visit: VisitToAnalyse, run: RunToAnalyse, tacho: DigestedTacho): ShaftMotion | null {
  const { t_s } = repairPulses(tachoEdges(tacho.samples, tacho.sampleRate_Hz));
  if (t_s.length < 2 * tacho.pulsesPerRev + 2) return null;
  const motion = motionFromPulses(t_s, tacho.pulsesPerRev);
  if (tacho.shaft.startsWith('wheel')) return motion;
  const turns = (gearRatio: number | null) => partOrders(visit.vehicle, gearRatio).turnsPerWheelTurn;
  if (tacho.shaft === 'propshaft') {
    const perWheelTurn = turns(null).propshaft;
    return perWheelTurn === null ? null : geared(motion, 1 / perWheelTurn);
  }
  return tacho.shaft === 'engine' ? wheelFromEngine(motion, run, (g) => turns(g).engine) : null;
}

/** Steps in which the engine's speed is carried over to the wheels, s. */
const CARRY_STEP_S = 0.05;

/** The wheels' turning behind a gearbox: each moment takes the gear of the segment nearest to it. */
function wheelFromEngine(
  engine: ShaftMotion,
  run: RunToAnalyse,
  perWheelTurn: (gearRatio: number) => number | null,
): ShaftMotion | null {
  const geared = run.segments.flatMap((s) => {
    const turns = s.gearRatio ? perWheelTurn(s.gearRatio) : null;
    return turns === null ? [] : [{ ...s, turns }];
  });
  if (geared.length === 0) return null;
  const from = engine.t_s[0]!;
  const count = Math.floor((engine.t_s[engine.t_s.length - 1]! - from) / CARRY_STEP_S);
  if (count < 2) return null;
  const t_s = Array.from({ length: count }, (_, i) => from + i * CARRY_STEP_S);
  const away = (t: number, s: { from_s: number; to_s: number }): number =>
    Math.max(s.from_s - t, t - s.to_s, 0);
  return motionFromSpeed(
    t_s,
    t_s.map((t) => {
      const { turns } = geared.reduce((a, b) => (away(t, b) < away(t, a) ? b : a));
      return rateAt(engine, t) / turns;
    }),
  );
}

/** Mean turning rate of a wheel over a stretch, Hz. */
export function meanRate(motion: ShaftMotion, from_s: number, to_s: number): number {
  let sum = 0;
  const points = 16;
  for (let i = 0; i < points; i++) sum += rateAt(motion, from_s + ((i + 0.5) * (to_s - from_s)) / points);
  return sum / points;
}
