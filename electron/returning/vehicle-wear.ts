import type { Garage } from '../../db/open.ts';
import {
  type Series,
  type Trend,
  type VehicleWear,
  type VisitOutcome,
  WearRiseSchema,
} from '../../shared/contract/returning-car.ts';
import { type ComparableMeasure, levelOf } from '../../shared/diagnosis/comparable.ts';
import { type Trend as FoundTrend, wearTrend } from '../../shared/diagnosis/trend.ts';
import {
  answeringSeries,
  chanceLimit,
  mainTrend,
  type SeriesVisit,
  sourceConcerns,
  type WearSeries,
  wearSeries,
} from '../../shared/diagnosis/wear.ts';
import { type Message, message } from '../../shared/messages/message.ts';
import { daysBetween } from './due-list.ts';

const RISE_SETTING = 'wearRise';
/** Twice the amplitude: a change that everybody hears (common practice). */
const USUAL_RISE_DB = 6;
/** As many as a person looks through: those with most visits and the highest levels, never those that grew most. */
const MOST_SERIES = 120;

export const wearRise_db = (garage: Garage): number =>
  garage.settings.get(RISE_SETTING, WearRiseSchema)?.rise_db ?? USUAL_RISE_DB;

export const setWearRise = (garage: Garage, rise_db: number): void =>
  garage.settings.set(RISE_SETTING, { rise_db });

/**
 * Whether a car gets worse, how fast, what was done last time and when to look again.
 * @param asked the key of the series to show; null, or one that is gone, for the one that answers for the vehicle
 * @param today ISO date
 */
export function vehicleWear(
  garage: Garage,
  vehicleId: number,
  asked: string | null,
  measuring: number,
  today: string,
): VehicleWear {
  const { visits } = garage.vehicles.page(vehicleId);
  const outcomes = garage.outcomes.ofVehicle(vehicleId);
  const watched = outcomes.find((o) => o.source !== null)?.source ?? null;
  const all = wearSeries(garage.measures.ofVehicle(vehicleId));
  const answering = answeringSeries(all, watched);
  const offered = offeredSeries(all, answering);
  const trendOf = (series: WearSeries): FoundTrend => {
    const { fitted, limit } = followed(garage, vehicleId, series, outcomes);
    return mainTrend(fitted, {
      limit_db: limit?.level_db ?? null,
      chanceLimit: chanceLimit(series === answering, offered.length),
    });
  };
  const shown = offered.find((s) => s.key === asked) ?? answering;
  return {
    answer: answerOf(
      answering,
      answering && trendOf(answering),
      outcomes[0] ?? null,
      visits[0] ?? null,
      today,
    ),
    lastOutcome: outcomes[0] ?? null,
    series: offered.map((s) => seriesRow(s, trendOf(s))),
    shown:
      shown &&
      shownSeries(garage, vehicleId, shown, outcomes, chanceLimit(shown === answering, offered.length)),
    measuring,
  };
}

function offeredSeries(all: readonly WearSeries[], answering: WearSeries | null): WearSeries[] {
  const latest = (s: WearSeries): number => s.visits.at(-1)!.level_db;
  const offered = all
    .filter((s) => s !== answering)
    .sort((a, b) => b.visits.length - a.visits.length || latest(b) - latest(a))
    .slice(0, MOST_SERIES - 1);
  return answering ? [answering, ...offered] : offered;
}

interface Followed {
  readonly fitted: readonly SeriesVisit[];
  readonly beforeRepair: ReadonlySet<number>;
  readonly limit: { level_db: number; set: 'forThisVehicle' | 'byRise' } | null;
}

/** A repaired part begins anew; the limit is the shop's for this vehicle, or a rise over the first visit since. */
function followed(
  garage: Garage,
  vehicleId: number,
  series: WearSeries,
  outcomes: readonly VisitOutcome[],
): Followed {
  const repaired = outcomes.find(
    (o) => o.done === 'repaired' && o.source !== null && sourceConcerns(o.source, series.of),
  );
  const isBefore = (v: SeriesVisit): boolean =>
    repaired !== undefined && Date.parse(v.startedAt) <= Date.parse(repaired.startedAt);
  const fitted = series.visits.filter((v) => !isBefore(v));
  const set = garage.wearLimits.of(vehicleId, series.key);
  const first = fitted[0];
  return {
    fitted,
    beforeRepair: new Set(series.visits.filter(isBefore).map((v) => v.visitId)),
    limit:
      set !== null
        ? { level_db: levelOf({ unit: series.of.unit, value: set }), set: 'forThisVehicle' }
        : first
          ? { level_db: first.level_db + wearRise_db(garage), set: 'byRise' }
          : null,
  };
}

const unitOf = (measure: ComparableMeasure): string =>
  measure.unit === 'm/s²' ? 'dB re 1 µm/s²' : measure.unit;

function seriesRow({ key, of, visits }: WearSeries, trend: FoundTrend): Series {
  const { kind, part, label, position, state, speedBand } = of;
  const byOdometer = trend.kind === 'fitted' && trend.against === 'odometer';
  return {
    key,
    kind,
    part,
    label,
    position,
    state,
    speedBand: { ...speedBand },
    unit: unitOf(of),
    visits: visits.length,
    growth_db_per_10000_km: byOdometer ? trend.growth.perUnit_db : null,
    rising: trend.kind === 'fitted' && trend.rising,
  };
}

function shownSeries(
  garage: Garage,
  vehicleId: number,
  series: WearSeries,
  outcomes: readonly VisitOutcome[],
  limitOfChance: number,
): VehicleWear['shown'] {
  const { fitted, beforeRepair, limit } = followed(garage, vehicleId, series, outcomes);
  const options = { limit_db: limit?.level_db ?? null, chanceLimit: limitOfChance };
  return {
    key: series.key,
    points: series.visits.map((v) => ({ ...v, beforeRepair: beforeRepair.has(v.visitId) })),
    againstOdometer: plain(wearTrend(fitted, 'odometer', options)),
    againstDate: plain(wearTrend(fitted, 'date', options)),
    limit,
  };
}

const plain = (trend: FoundTrend): Trend =>
  trend.kind === 'tooFew' ? trend : { ...trend, line: [...trend.line] };

function answerOf(
  series: WearSeries | null,
  trend: FoundTrend | null,
  outcome: VisitOutcome | null,
  lastVisit: { readonly id: number; readonly startedAt: string } | null,
  today: string,
): VehicleWear['answer'] {
  return {
    ...worseOf(series, trend),
    lastTime: lastTimeOf(outcome, lastVisit),
    lookAgain: lookAgainOf(outcome, today),
  };
}

function worseOf(
  series: WearSeries | null,
  trend: FoundTrend | null,
): Pick<VehicleWear['answer'], 'verdict' | 'worse' | 'howFast'> {
  if (!series || !trend) {
    return {
      verdict: 'nothingMeasured',
      worse: message('wear.nothingMeasured'),
      howFast: message('wear.whatIsNeeded'),
    };
  }
  const figure = { label: series.of.label, place: series.of.position };
  const howFast = trend.sentence;
  if (trend.kind === 'tooFew') return { verdict: 'tooFew', worse: message('wear.followed', figure), howFast };
  return trend.rising
    ? { verdict: 'gettingWorse', worse: message('wear.rising', figure), howFast }
    : { verdict: 'noChangeShown', worse: message('wear.notRising', figure), howFast };
}

function lastTimeOf(
  outcome: VisitOutcome | null,
  lastVisit: { readonly id: number; readonly startedAt: string } | null,
): Message {
  if (!lastVisit) return message('wear.notBeenHere');
  const nothingNoted = message('wear.nothingNoted', { at: lastVisit.startedAt });
  if (!outcome) return nothingNoted;
  const note = outcome.note.trim();
  const done = message('wear.done', {
    done: outcome.done,
    at: outcome.startedAt,
    part: outcome.source && message('wear.donePart', { part: outcome.source }),
    note: note ? message('wear.doneNote', { note }) : null,
  });
  return outcome.visitId === lastVisit.id ? done : message('wear.doneBefore', { done, nothingNoted });
}

function lookAgainOf(outcome: VisitOutcome | null, today: string): Message {
  const on = outcome?.nextCheckOn ?? null;
  const at_km = outcome?.nextCheckAt_km ?? null;
  if (on === null) {
    return at_km === null ? message('wear.noNextCheck') : message('wear.lookAgainAt', { at_km });
  }
  if (daysBetween(on, today) > 0) {
    return at_km === null ? message('wear.overdue', { on }) : message('wear.overdueEither', { on, at_km });
  }
  return at_km === null
    ? message('wear.lookAgainOn', { on })
    : message('wear.lookAgainEither', { on, at_km });
}
