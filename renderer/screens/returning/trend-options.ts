import type uPlot from 'uplot';
import type { Trend, VehicleWear } from '../../../shared/contract/returning-car.ts';
import { inside, type UnitSystem } from '../../../shared/units/units.ts';
import { CHART_TEXT_rem, type Colours, canvasFont, rem } from '../../components/colours.ts';

export type TrendAxis = 'odometer' | 'date';
type Shown = NonNullable<VehicleWear['shown']>;

/** Distances are drawn in thousands, days in seconds as uPlot's time axis wants them. */
const kmPerThousand = (units: UnitSystem): number => inside(1000, 'distance', units);

/** Columns: place, interval of a further visit below and above, limit, trend. Visits are drawn by themselves. */
export function trendData(shown: Shown, axis: TrendAxis, units: UnitSystem): uPlot.AlignedData {
  const trend = trendOf(shown, axis);
  const unit = axis === 'odometer' ? kmPerThousand(units) : 1;
  const line = trend.kind === 'fitted' ? trend.line : [];
  const places = [
    ...new Set([...line.map((p) => p.x / unit), ...pointsOf(shown, axis, units).map((p) => p.x)]),
  ].sort((a, b) => a - b);
  const at = new Map(line.map((p) => [p.x / unit, p]));
  const limit = shown.limit?.level_db ?? null;
  return [
    places,
    places.map((x) => at.get(x)?.low ?? null),
    places.map((x) => at.get(x)?.high ?? null),
    places.map(() => limit),
    places.map((x) => at.get(x)?.level_db ?? null),
  ];
}

export const trendOf = (shown: Shown, axis: TrendAxis): Trend =>
  axis === 'odometer' ? shown.againstOdometer : shown.againstDate;

interface DrawnVisit {
  readonly x: number;
  readonly level_db: number;
  readonly uncertainty_db: number;
  readonly beforeRepair: boolean;
}

function pointsOf(shown: Shown, axis: TrendAxis, units: UnitSystem): DrawnVisit[] {
  return shown.points.flatMap((p) => {
    const x =
      axis === 'date'
        ? Date.parse(p.startedAt) / 1000
        : p.odometer_km === null
          ? null
          : p.odometer_km / kmPerThousand(units);
    return x === null ? [] : [{ ...p, x }];
  });
}

/** Room for the visits with their uncertainty, the trend and the limit, to whole 5 dB. */
function levelRange(shown: Shown, axis: TrendAxis): [number, number] {
  const ends = shown.points.flatMap((p) => [p.level_db - p.uncertainty_db, p.level_db + p.uncertainty_db]);
  if (shown.limit) ends.push(shown.limit.level_db);
  const trend = trendOf(shown, axis);
  if (trend.kind === 'fitted') ends.push(...trend.line.map((p) => p.level_db));
  return [5 * Math.floor((Math.min(...ends) - 1) / 5), 5 * Math.ceil((Math.max(...ends) + 1) / 5)];
}

export function trendOptions(
  shown: Shown,
  axis: TrendAxis,
  units: UnitSystem,
  across: string,
  colours: Colours,
): Omit<uPlot.Options, 'width' | 'height'> {
  const text = rem(CHART_TEXT_rem);
  const common: uPlot.Axis = {
    stroke: colours.inkSoft,
    font: canvasFont(text),
    labelFont: canvasFont(text),
    grid: { stroke: colours.line, width: 1 },
    ticks: { stroke: colours.line, width: 1 },
  };
  const bound: uPlot.Series = {
    stroke: colours.lineStrong,
    width: 1,
    points: { show: false },
    spanGaps: true,
  };
  return {
    legend: { show: false },
    cursor: { show: false },
    padding: [8, 16, 0, 0],
    scales: {
      x: { time: axis === 'date', range: (_chart, min, max) => withMargin(min, max) },
      y: { range: () => levelRange(shown, axis) },
    },
    axes: [
      {
        ...common,
        size: text * 2.1,
        gap: 2,
        ...(axis === 'odometer'
          ? { label: across, labelSize: text * 1.4, labelGap: 0 }
          : { space: text * 7 }),
        ...(axis === 'date' ? { values: (_chart, days) => days.map(monthOf) } : {}),
      },
      { ...common, size: text * 3.6 },
    ],
    series: [
      {},
      bound,
      bound,
      { stroke: colours.accent, width: 2, dash: [10, 6], points: { show: false } },
      // Last, so that the band does not cover it.
      { stroke: colours.ink, width: 2, points: { show: false }, spanGaps: true },
    ],
    bands: [{ series: [2, 1], fill: colours.barTrack }],
    plugins: [{ hooks: { draw: (chart) => drawVisits(chart, pointsOf(shown, axis, units), colours) } }],
  };
}

const withMargin = (min: number, max: number): [number, number] => {
  const margin = 0.03 * (max - min || 1);
  return [min - margin, max + margin];
};

const monthOf = (at_s: number): string => new Date(at_s * 1000).toISOString().slice(0, 7);

/** Each visit a filled dot with its uncertainty; an open one was before the repair and is not fitted. */
function drawVisits(chart: uPlot, visits: readonly DrawnVisit[], colours: Colours): void {
  const { ctx: context } = chart;
  const scale = devicePixelRatio;
  context.save();
  context.setLineDash([]);
  context.lineWidth = 2 * scale;
  context.strokeStyle = colours.ink;
  for (const { x, level_db, uncertainty_db, beforeRepair } of visits) {
    const across = chart.valToPos(x, 'x', true);
    const up = (level: number) => chart.valToPos(level, 'y', true);
    context.beginPath();
    context.moveTo(across, up(level_db - uncertainty_db));
    context.lineTo(across, up(level_db + uncertainty_db));
    context.stroke();
    context.beginPath();
    context.arc(across, up(level_db), 5 * scale, 0, 2 * Math.PI);
    context.fillStyle = beforeRepair ? colours.ground : colours.ink;
    context.fill();
    context.stroke();
  }
  context.restore();
}
