import { type Message, message } from '../messages/message.ts';
import type { FoundSegment, Manoeuvre, ManoeuvreProgress, RoadCard } from './manoeuvre.ts';

/** How far off its speed a stretch still counts, relative and at least. */
const TOLERANCE = 0.08;
const TOLERANCE_KM_H = 5;
/** More than this share of the wanted time is as good as all of it. */
const ENOUGH = 0.8;

/** Speeds at which a manoeuvre counts. */
export function speedRange(m: Manoeuvre): { readonly low_km_h: number; readonly high_km_h: number } {
  const low = Math.min(m.speed_km_h, m.endSpeed_km_h);
  const high = Math.max(m.speed_km_h, m.endSpeed_km_h);
  return {
    low_km_h: low - Math.max(TOLERANCE_KM_H, TOLERANCE * low),
    high_km_h: high + Math.max(TOLERANCE_KM_H, TOLERANCE * high),
  };
}

/** Slower changes of speed are as good as held, faster ones are a pull or a lift-off. */
const CHANGING_M_S2 = 0.2;

/**
 * Whether the speed changes as the manoeuvre asks: a pull gains, a lift-off loses, a held speed does neither; the
 * others may drift.
 */
export function changesRight(m: Manoeuvre, acceleration_m_s2: number): boolean {
  switch (m.kind) {
    case 'steady':
    case 'otherGear':
      return Math.abs(acceleration_m_s2) <= CHANGING_M_S2;
    case 'drive':
      return acceleration_m_s2 >= CHANGING_M_S2;
    case 'coast':
      return acceleration_m_s2 <= -CHANGING_M_S2;
    default:
      return true;
  }
}

/** Whether a stretch of a recording is what the manoeuvre asks for. */
function counts(m: Manoeuvre, found: FoundSegment, usualRatio: number | null): boolean {
  const { segment, mean_km_h } = found;
  const { low_km_h, high_km_h } = speedRange(m);
  if (segment.state !== m.state || mean_km_h < low_km_h || mean_km_h > high_km_h) return false;
  if (!changesRight(m, found.acceleration_m_s2)) return false;
  const ratio = segment.gearRatio ?? null;
  const lower = ratio !== null && usualRatio !== null && ratio > 1.1 * usualRatio;
  return m.kind === 'otherGear' ? lower : true;
}

/**
 * How far the card has been driven, over all runs of the visit.
 * @param found steady stretches of the runs; a stretch may serve several manoeuvres
 */
export function progressOf(card: RoadCard, found: readonly FoundSegment[]): ManoeuvreProgress[] {
  const ratios = found.map((f) => f.segment.gearRatio ?? null).filter((r) => r !== null);
  const usualRatio = ratios.length > 0 ? Math.min(...ratios) : null;
  return card.manoeuvres.map((m) => {
    const held_s = found
      .filter((f) => counts(m, f, usualRatio))
      .reduce((sum, { segment }) => sum + segment.to_s - segment.from_s, 0);
    return {
      id: m.id,
      held_s,
      wanted_s: m.wanted_s,
      state: held_s >= ENOUGH * m.wanted_s ? 'done' : held_s > 0 ? 'underWay' : 'missing',
    };
  });
}

/** What the card still lacks, a sentence each. */
export function stillMissing(card: RoadCard, progress: readonly ManoeuvreProgress[]): Message[] {
  return card.manoeuvres.flatMap((m) => {
    const p = progress.find((x) => x.id === m.id);
    if (!p || p.state === 'done') return [];
    const { title, why } = m;
    if (p.state === 'missing') return [message('road.missing', { title, why })];
    const { low_km_h: low, high_km_h: high } = speedRange(m);
    return [message('road.more', { seconds: Math.ceil(m.wanted_s - p.held_s), title, low, high })];
  });
}
