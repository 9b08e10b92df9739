import type { Source } from '../driveline/words.ts';
import { median } from '../dsp/levels.ts';
import { CLAMPING_SD_DB, type ComparableMeasure, isPlaced, levelOf, repeatSd_db } from './comparable.ts';
import { type Trend, wearTrend } from './trend.ts';

/** One visit's figure in a series. */
export type SeriesVisit = {
  readonly visitId: number;
  readonly startedAt: string;
  readonly odometer_km: number | null;
  readonly level_db: number;
  /** Standard uncertainty: the repeats' spread and clamping the pickup anew. */
  readonly uncertainty_db: number;
};

/** A figure that can be followed over visits: one measure at one place, in one state and speed band. */
export type WearSeries = {
  readonly key: string;
  /** Any of its measures, for what they have in common. */
  readonly of: ComparableMeasure;
  /** Oldest first, one entry per visit. */
  readonly visits: readonly SeriesVisit[];
};

/** The parts of the measures, and the places, that speak for a source. */
type Speaks = { readonly part: string; readonly near: RegExp; readonly kinds: readonly string[] };

/** Everything of a vehicle that can be compared over its visits. */
export function wearSeries(measures: readonly ComparableMeasure[]): WearSeries[] {
  const series = new Map<string, { of: ComparableMeasure; byVisit: Map<number, ComparableMeasure> }>();
  const times = new Map<number, number>();
  for (const m of measures) {
    if (m.fullScale_m_s2 === null || !isPlaced(m.position)) continue;
    if (!times.has(m.visitId)) times.set(m.visitId, Date.parse(m.startedAt));
    const key = seriesKey(m);
    let found = series.get(key);
    if (!found) series.set(key, (found = { of: m, byVisit: new Map() }));
    const known = found.byVisit.get(m.visitId);
    // Of several runs of a visit, the one with most repeats counts.
    if (!known || m.repeats > known.repeats) found.byVisit.set(m.visitId, m);
  }
  return [...series].map(([key, { of, byVisit }]) => ({
    key,
    of,
    visits: [...byVisit.values()]
      .sort((a, b) => times.get(a.visitId)! - times.get(b.visitId)!)
      .map((m) => ({
        visitId: m.visitId,
        startedAt: m.startedAt,
        odometer_km: m.odometer_km,
        level_db: levelOf(m),
        uncertainty_db: Math.hypot(repeatSd_db(m), CLAMPING_SD_DB),
      })),
  }));
}

/** Says everything that two measures must have in common to stand in one series. */
export const seriesKey = (m: ComparableMeasure): string =>
  `${m.kind} | ${m.part} | ${m.label} | ${m.position} | ${m.state} | ${m.speedBand.low_km_h}-${m.speedBand.high_km_h} | ${m.unit} | ${m.method}`;

const ORDERS = ['orderLevel', 'envelopeProminence', 'bandLevel'] as const;
const IMPACTS = ['envelopeProminence', 'orderLevel', 'bandLevel'] as const;

function speaksFor(source: Source): Speaks {
  const corner = /^(wheel-bearing|tyre)-(front|rear)-(left|right)$/.exec(source);
  if (corner) {
    const near = new RegExp(`^hub-${corner[2]}-${corner[3]}$`);
    return corner[1] === 'tyre'
      ? { part: 'wheel', near, kinds: ORDERS }
      : { part: 'wheel-bearing', near, kinds: IMPACTS };
  }
  const axle = /^differential-(front|rear)$/.exec(source)?.[1];
  if (axle) return { part: source, near: new RegExp(`^differential-${axle}`), kinds: ORDERS };
  if (source === 'propshaft-centre-bearing') return { part: 'propshaft', near: /^propshaft/, kinds: ORDERS };
  if (source === 'engine') return { part: 'engine', near: /^engine/, kinds: ORDERS };
  return { part: source, near: new RegExp(`^${source}`), kinds: ORDERS };
}

/** Whether a repair of a source changes what a series shows: a line of that part, or any noise beside it. */
export function sourceConcerns(source: Source, { part, position }: ComparableMeasure): boolean {
  const speaks = speaksFor(source);
  if (part === 'place') return speaks.near.test(position);
  // Four wheels share their lines: those at the other hubs are of other bearings.
  return part === speaks.part && (!/^(wheel-bearing|tyre)/.test(source) || speaks.near.test(position));
}

/**
 * The series that answers for a vehicle: that of the part that the shop watches, as near to it as a pickup sat, or
 * else the strongest line of any part. Chosen by the number of visits and then by level, never by growth: who looks
 * for what has grown most will find something in every car.
 */
export function answeringSeries(series: readonly WearSeries[], watched: Source | null): WearSeries | null {
  const speaks = watched && speaksFor(watched);
  if (speaks) {
    const own = series.filter((s) => s.of.part === speaks.part);
    const near = own.filter((s) => speaks.near.test(s.of.position));
    const there = series.filter((s) => s.of.kind === 'bandLevel' && speaks.near.test(s.of.position));
    for (const kind of speaks.kinds) {
      const best = strongest(near.filter((s) => s.of.kind === kind));
      if (best) return best;
    }
    const best = strongest(there) ?? strongest(own);
    if (best) return best;
  }
  return strongest(series.filter((s) => s.of.kind === 'orderLevel')) ?? strongest(series);
}

function strongest(series: readonly WearSeries[]): WearSeries | null {
  let best: { series: WearSeries; visits: number; level_db: number } | null = null;
  for (const s of series) {
    const visits = s.visits.length;
    if (best && visits < best.visits) continue;
    const level_db = median(s.visits.map((v) => v.level_db));
    if (best && visits === best.visits && level_db <= best.level_db) continue;
    best = { series: s, visits, level_db };
  }
  return best?.series ?? null;
}

/**
 * Of unchanged cars at most 5 % may be called worse, whatever is looked at: nearly all of it goes to the series that
 * answers for the vehicle (four visits that all rise have a chance of 1 in 24), the rest is shared by all others.
 */
const CHANCE_OF_ANSWER = 1 / 24;
const CHANCE_OF_OTHERS = 0.05 - CHANCE_OF_ANSWER;

export const chanceLimit = (isAnswer: boolean, seriesInAll: number): number =>
  isAnswer ? CHANCE_OF_ANSWER : CHANCE_OF_OTHERS / Math.max(1, seriesInAll - 1);

/** The trend of a series by odometer where that is known, by date otherwise. */
export function mainTrend(
  visits: readonly SeriesVisit[],
  options: { readonly limit_db: number | null; readonly chanceLimit: number },
): Trend {
  const byOdometer = wearTrend(visits, 'odometer', options);
  return byOdometer.kind === 'fitted' ? byOdometer : wearTrend(visits, 'date', options);
}
