import { median } from '../dsp/levels.ts';
import { studentT95 } from '../dsp/student.ts';
import { risingChance, slopeInterval, type TheilSenLine, theilSen } from '../dsp/theil-sen.ts';
import { type Message, message } from '../messages/message.ts';

/** What one comparable visit adds to a trend. */
export type WearVisit = {
  /** ISO 8601. */
  readonly startedAt: string;
  readonly odometer_km: number | null;
  readonly level_db: number;
};

/** Growth is per 10,000 km, or per year. */
export type TrendAxis = 'odometer' | 'date';

export type TrendPoint = {
  /** Odometer in km, or seconds since 1970. */
  readonly x: number;
  readonly level_db: number;
  /** 90 % interval of a further visit there. */
  readonly low: number;
  readonly high: number;
};

export type FittedTrend = {
  readonly kind: 'fitted';
  readonly against: TrendAxis;
  readonly visits: number;
  /** dB per 10,000 km or per year with its 90 % confidence interval. */
  readonly growth: { readonly perUnit_db: number; readonly low: number; readonly high: number };
  /** The exact test of Mann and Kendall finds less than `chance_limit` for so rising a course without a trend. */
  readonly rising: boolean;
  readonly chance: number;
  readonly line: readonly TrendPoint[];
  readonly reaches: {
    readonly x: number;
    readonly earliest: number;
    /** Null when within the interval it may never be reached. */
    readonly latest: number | null;
    /** Day of `x`, for the odometer by the mileage of the visits; null where that is not known. */
    readonly on: string | null;
  } | null;
  readonly sentence: Message;
};

export type Trend =
  | FittedTrend
  | { readonly kind: 'tooFew'; readonly visits: number; readonly sentence: Message };

export type TrendOptions = {
  /** The level that calls for action; null when none is set. */
  readonly limit_db: number | null;
  /** One-sided chance below which a rise is announced. */
  readonly chanceLimit?: number;
};

/** From fewer visits nothing is forecast. */
const LEAST_VISITS = 3;
const CONFIDENCE = 0.9;
const NORMAL_90 = 1.645;
/** Of unchanged cars, at most this share is called worse. */
const CHANCE_LIMIT = 0.05;
/** A forecast reaches at most this many times the observed stretch beyond its end (common practice). */
const HORIZON = 2;
/** Residuals beyond this many robust standard deviations count as just that much. */
const WINSOR = 3;
const LINE_POINTS = 40;

const YEAR_S = 365.25 * 86_400;
const UNIT: Record<TrendAxis, number> = { odometer: 10_000, date: YEAR_S };

const seconds = (iso: string): number => Date.parse(iso) / 1000;
const dayOf = (at_s: number): string => new Date(at_s * 1000).toISOString().slice(0, 10);

/**
 * How a level has grown over visits that may be compared with one another, and where it goes.
 *
 * The line is Theil and Sen's, so that one odd visit does not bend it; its interval comes from the exact distribution
 * of Kendall's statistic and holds for any scatter. Three visits are too few for that: there the interval is
 * Student's with one degree of freedom, which is wide and right for normal scatter. The interval of a further visit
 * takes the scatter around the line (outliers bounded) and Student's quantile.
 * @param visits comparable ones in any order; those without an odometer reading do not count against the odometer.
 *   Of visits at the same place the mean counts.
 */
export function wearTrend(visits: readonly WearVisit[], against: TrendAxis, options: TrendOptions): Trend {
  const points = pointsOf(visits, against);
  if (points.length < LEAST_VISITS) {
    return {
      kind: 'tooFew',
      visits: points.length,
      sentence: tooFewSentence(points.length, visits.length, against),
    };
  }
  const origin = points[0]!.x;
  const unit = UNIT[against];
  const x = points.map((p) => (p.x - origin) / unit);
  const y = points.map((p) => p.level_db);
  const line = theilSen(x, y);
  const scatter = scatterAround(line, x, y);
  const slope = slopeInterval(line, CONFIDENCE) ?? studentInterval(x, y);
  const chance = risingChance(line);
  const rising = chance <= (options.chanceLimit ?? CHANCE_LIMIT);
  const fit = { line, x, y, slope, scatter };
  const reach = options.limit_db === null ? null : reaching(fit, options.limit_db);
  const at = (value: number): number => origin + value * unit;
  const reaches = reach && {
    x: at(reach.x),
    earliest: at(reach.earliest),
    latest: reach.latest === null ? null : at(reach.latest),
    on: dayAt(at(reach.x), against, visits),
  };
  const growth = { perUnit_db: line.slope, ...slope };
  return {
    kind: 'fitted',
    against,
    visits: points.length,
    growth,
    rising,
    chance,
    line: courseOf(fit, reach?.x ?? null).map((p) => ({ ...p, x: at(p.x) })),
    reaches,
    sentence: sentenceOf(against, points.length, growth, rising, reaches, options.limit_db, {
      now_db: line.intercept + line.slope * x.at(-1)!,
      last: points.at(-1)!.x,
    }),
  };
}

type Point = { x: number; level_db: number };

function pointsOf(visits: readonly WearVisit[], against: TrendAxis): Point[] {
  const byPlace = new Map<number, number[]>();
  for (const visit of visits) {
    const x = against === 'odometer' ? visit.odometer_km : seconds(visit.startedAt);
    if (x !== null) byPlace.set(x, [...(byPlace.get(x) ?? []), visit.level_db]);
  }
  return [...byPlace]
    .map(([x, levels]) => ({ x, level_db: levels.reduce((a, b) => a + b) / levels.length }))
    .sort((a, b) => a.x - b.x);
}

type Fit = {
  readonly line: TheilSenLine;
  readonly x: readonly number[];
  readonly y: readonly number[];
  readonly slope: { readonly low: number; readonly high: number };
  readonly scatter: number;
};

/** Fewer points than this cannot show which of them is the odd one. */
const LEAST_FOR_ROBUST = 7;

/**
 * Standard deviation around the line, dB, outliers bounded. Of a few visits it is that around the least-squares line:
 * the robust line runs through some of so few points, and would leave the others too much.
 */
function scatterAround(line: TheilSenLine, x: readonly number[], y: readonly number[]): number {
  if (x.length < LEAST_FOR_ROBUST) return leastSquares(x, y).scatter;
  const residuals = x.map((at, i) => Math.abs(y[i]! - line.intercept - line.slope * at));
  const bound = WINSOR * 1.4826 * Math.sqrt(x.length / (x.length - 2)) * median(residuals);
  const squares = residuals.map((r) => (bound > 0 ? Math.min(r, bound) : r) ** 2);
  return Math.sqrt(squares.reduce((a, b) => a + b) / (x.length - 2));
}

const meanOf = (values: readonly number[]): number => values.reduce((a, b) => a + b) / values.length;

const spreadOf = (x: readonly number[]): number => {
  const centre = meanOf(x);
  return x.reduce((sum, at) => sum + (at - centre) ** 2, 0);
};

function leastSquares(x: readonly number[], y: readonly number[]): { slope: number; scatter: number } {
  const [xm, ym] = [meanOf(x), meanOf(y)];
  const slope = x.reduce((sum, at, i) => sum + (at - xm) * (y[i]! - ym), 0) / spreadOf(x);
  const squares = x.reduce((sum, at, i) => sum + (y[i]! - ym - slope * (at - xm)) ** 2, 0);
  return { slope, scatter: Math.sqrt(squares / (x.length - 2)) };
}

/** Interval of the least-squares slope, to whose residuals Student's distribution belongs. */
function studentInterval(x: readonly number[], y: readonly number[]): { low: number; high: number } {
  const { slope, scatter } = leastSquares(x, y);
  const half = (studentT95(x.length - 2) * scatter) / Math.sqrt(spreadOf(x));
  return { low: slope - half, high: slope + half };
}

function predicted(
  { line, x, scatter }: Fit,
  at: number,
): { x: number; level_db: number; low: number; high: number } {
  const level_db = line.intercept + line.slope * at;
  const away = (at - meanOf(x)) ** 2 / spreadOf(x);
  const half = studentT95(x.length - 2) * scatter * Math.sqrt(1 + 1 / x.length + away);
  return { x: at, level_db, low: level_db - half, high: level_db + half };
}

function courseOf(
  fit: Fit,
  reach: number | null,
): { x: number; level_db: number; low: number; high: number }[] {
  const last = fit.x.at(-1)!;
  const end = Math.max(1.25 * last, reach ?? 0);
  return Array.from({ length: LINE_POINTS + 1 }, (_, i) => predicted(fit, (i / LINE_POINTS) * end));
}

/** Where the line meets the limit, between where it does when everything in the intervals is at its worst or best. */
function reaching(
  { line, x, slope, scatter }: Fit,
  limit_db: number,
): { x: number; earliest: number; latest: number | null } | null {
  const last = x.at(-1)!;
  if (line.slope <= 0) return null;
  const at = (limit_db - line.intercept) / line.slope;
  if (at > last * (1 + HORIZON)) return null;
  const centre = median(x);
  const middle_db = line.intercept + line.slope * centre;
  const height = (NORMAL_90 * scatter) / Math.sqrt(x.length);
  const from = (level_db: number, rate: number): number => centre + (limit_db - level_db) / rate;
  const earliest = Math.min(at, from(middle_db + height, slope.high));
  const latest = slope.low > 0 ? Math.max(at, from(middle_db - height, slope.low)) : null;
  return { x: at, earliest, latest };
}

/** Day on which a place on the axis is reached, by the median of the mileage from visit to visit. */
function dayAt(x: number, against: TrendAxis, visits: readonly WearVisit[]): string | null {
  if (against === 'date') return dayOf(x);
  const read = visits.flatMap((v) =>
    v.odometer_km === null ? [] : [{ at_s: seconds(v.startedAt), km: v.odometer_km }],
  );
  return dayOfOdometer(x, read);
}

/**
 * The day on which a car's odometer will show a reading, going on as it was driven so far (Theil and Sen's line).
 * @param read earlier readings, at least two at different times, in any order
 * @returns ISO date, or null when the mileage is not known or does not rise
 */
export function dayOfOdometer(
  km: number,
  read: readonly { readonly at_s: number; readonly km: number }[],
): string | null {
  const byTime = new Map(read.map((r) => [r.at_s, r.km]));
  if (byTime.size < 2) return null;
  const times = [...byTime.keys()].sort((a, b) => a - b);
  const origin = times[0]!;
  const { slope } = theilSen(
    times.map((t) => t - origin),
    times.map((t) => byTime.get(t)!),
  );
  if (!(slope > 0)) return null;
  const last = times.at(-1)!;
  const at_s = last + (km - byTime.get(last)!) / slope;
  // JavaScript's dates end there; a car does not last as long.
  return Math.abs(at_s) < 8e12 ? dayOf(at_s) : null;
}

const visitsTold = (count: number): Message => message('visits', { count });

function tooFewSentence(usable: number, all: number, against: TrendAxis): Message {
  return against === 'odometer' && all > usable
    ? message('trend.tooFewWithOdometer', { usable: visitsTold(usable), without: visitsTold(all - usable) })
    : message('trend.tooFew', { count: usable });
}

function sentenceOf(
  against: TrendAxis,
  visits: number,
  growth: FittedTrend['growth'],
  rising: boolean,
  reaches: FittedTrend['reaches'],
  limit_db: number | null,
  { now_db, last }: { now_db: number; last: number },
): Message {
  const grown = {
    growth_db: growth.perUnit_db,
    low_db: growth.low,
    high_db: growth.high,
    visits: visitsTold(visits),
  };
  const rate =
    against === 'odometer'
      ? message('trend.rate.odometer', { ...grown, per_km: UNIT.odometer })
      : message('trend.rate.date', grown);
  if (!rising) return message(growth.low > 0 ? 'trend.perhapsChance' : 'trend.noRise', { rate });
  if (limit_db === null) return message('trend.grows', { rate });
  if (now_db >= limit_db) return message('trend.reached', { rate });
  if (!reaches) return message('trend.tooFarOff', { rate });
  const place = (x: number): Message =>
    against === 'odometer'
      ? message('trend.at.odometer', { at_km: Math.round(Math.max(x, last) / 1000) * 1000 })
      : message('trend.at.date', { at: dayOf(x) });
  const earliest = place(reaches.earliest);
  const range =
    reaches.latest === null
      ? message('trend.notBefore', { earliest })
      : message('trend.between', { earliest, latest: place(reaches.latest) });
  const expected = { rate, at: place(reaches.x), range };
  return against === 'odometer' && reaches.on
    ? message('trend.expectedOn', { ...expected, on: reaches.on })
    : message('trend.expected', expected);
}
