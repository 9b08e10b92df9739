import type { BundleChannel, BundleRun, Segment, SpeedReadings } from '../../shared/bundle/visit.ts';
import type { OrderLine, RunSecond } from '../../shared/contract/garage.ts';
import type { OrderLine as PartOrderLine, PartOrders } from '../../shared/driveline/orders.ts';
import type { DrivingState, Source } from '../../shared/driveline/words.ts';
import { Random } from '../road-drive/random.ts';
import type { Fault } from '../road-drive/scenario.ts';

/**
 * Levels of a run as a garage's history would hold them, without the seconds of computing that it takes to simulate
 * and analyse the sound. The figures follow the rules that every drive shows (noise grows with speed, a fault
 * answers to load or torque and fades with distance); the numbers in them are invented, for the demo only.
 */

/** RMS at 80 km/h that road, tyres and healthy gears leave at any place, m/s². */
const BACKGROUND_M_S2 = 0.9;
const BACKGROUND_EXPONENT = 1.6;
/** RMS of the fault's line at its own place at 80 km/h and full severity, m/s². */
const FAULT_M_S2 = 6;
const FAULT_EXPONENT = 1.2;
/** A line of a healthy part, against the background. */
const HEALTHY_LINE = 0.06;
/** What the next place hears of a fault, and what all others hear. */
const NEXT = 0.35;
const FAR = 0.08;
const SECOND_TO_SECOND_DB = 0.6;

export function plausibleSeconds(
  run: BundleRun,
  seconds: number,
  orders: PartOrders,
  fault: Fault,
  seed: number | string,
): RunSecond[] {
  const random = new Random(seed, 'levels');
  const { lines } = orders;
  const mounting = run.channels.map(() => random.spread(1.5));
  return Array.from({ length: seconds }, (_, second) => {
    const speed_km_h = speedAt(run.speed ?? null, second + 0.5);
    const segment = segmentAt(run.segments, second + 0.5);
    const relative = (speed_km_h ?? 0) / 80;
    const rms = new Float32Array(run.channels.length);
    const peak = new Float32Array(run.channels.length);
    const energies = new Float32Array(run.channels.length * lines.length).fill(Number.NaN);
    for (const [c, channel] of run.channels.entries()) {
      if (channel.role !== 'vibration') continue;
      const fullScale = channel.fullScale_m_s2 ?? 200;
      const gain = (mounting[c]! * random.spread(SECOND_TO_SECOND_DB)) / fullScale;
      const background = BACKGROUND_M_S2 * relative ** BACKGROUND_EXPONENT * gain;
      const loud =
        FAULT_M_S2 *
        fault.severity *
        relative ** FAULT_EXPONENT *
        answer(fault.source, segment?.state ?? null) *
        nearness(fault.source, channel) *
        gain;
      let power = background ** 2 + loud ** 2;
      for (const [l, line] of lines.entries()) {
        if (speed_km_h === null || !hasRate(line, segment)) continue;
        const own = line.sources.includes(fault.source) ? loud / line.multiple : 0;
        const healthy = background * HEALTHY_LINE * random.spread(2);
        energies[c * lines.length + l] = Math.hypot(own, healthy);
        power += healthy ** 2;
      }
      rms[c] = Math.sqrt(power);
      peak[c] = Math.min(1, rms[c]! * random.range(3.4, 4.6));
    }
    return { second, speed_km_h, rms, peak, orders: energies };
  });
}

/** The lines of a vehicle's parts as a run keeps them. */
export const orderLinesOf = (orders: PartOrders): OrderLine[] =>
  orders.lines.map(({ part, label, shaft, order }) => ({ part, label, shaft, order }));

const hasRate = (line: PartOrderLine, segment: Segment | null): boolean =>
  line.orderAtWheel !== null || (line.shaft === 'engine' && segment?.gearRatio != null);

function speedAt(speed: SpeedReadings | null, t: number): number | null {
  const next = speed?.t_s.findIndex((reading) => reading >= t) ?? -1;
  return next < 0 ? null : speed!.v_km_h[next]!;
}

const segmentAt = (segments: readonly Segment[], t: number): Segment | null =>
  segments.find((s) => s.from_s <= t && t < s.to_s) ?? null;

/** Wheel bearings answer to the side that carries, gears to the sign of the torque, tyres to speed alone. */
function answer(source: Source, state: DrivingState | null): number {
  if (source === 'none') return 0;
  if (source.startsWith('wheel-bearing')) {
    const loaded = source.endsWith('left') ? 'swayLeft' : 'swayRight';
    return state === loaded ? 1.6 : state === 'swayLeft' || state === 'swayRight' ? 0.5 : 1;
  }
  if (source.startsWith('differential')) return state === 'coast' ? 0.35 : state === 'float' ? 0.5 : 1;
  return 1;
}

function nearness(source: Source, channel: BundleChannel): number {
  const position = channel.role === 'vibration' ? channel.position : '';
  const corner = /(front|rear)-(left|right)$/.exec(source)?.[0];
  if (corner !== undefined) return position === `hub-${corner}` ? 1 : position.endsWith(corner) ? NEXT : FAR;
  if (position.startsWith(source)) return 1;
  const end = /front|rear/.exec(source)?.[0];
  return end !== undefined && position.includes(end) ? NEXT : FAR;
}
