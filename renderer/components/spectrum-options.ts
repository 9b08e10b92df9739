import type uPlot from 'uplot';
import { formatTick } from '../format.ts';
import { decades, type LevelScale } from '../levels/scale.ts';
import { CHART_TEXT_rem, type Colours, canvasFont, rem } from './colours.ts';
import { type OrderMark, orderMarks } from './order-marks.ts';

/** Shown below the strongest line. */
const SPAN_decades = 4;

/** Whole decades (or 20 dB steps) around the data, so that the scale stands still while the lines move. */
function levelRange(decibel: boolean): uPlot.Range.Function {
  return (_chart, _min, max) => {
    if (decibel) {
      const top = Math.ceil((Number.isFinite(max) ? max : 0) / 20) * 20;
      return [top - 20 * SPAN_decades, top];
    }
    const top = 10 ** Math.ceil(Math.log10(max > 0 ? max : 1) + 1e-9);
    return [top / 10 ** SPAN_decades, top];
  };
}

interface Spectrum {
  scale: LevelScale;
  /** What the horizontal axis counts: `Hz`, or orders of a named shaft. */
  across: string;
  /** The axis as drawn; null shows all the data. */
  range: () => [number, number] | null;
  marks: () => readonly OrderMark[];
  series: uPlot.Series[];
  language: string;
}

/** Options of a level spectrum over frequency or order. */
export function spectrumOptions(
  { scale, across, range, marks, series, language }: Spectrum,
  colours: Colours,
): Omit<uPlot.Options, 'width' | 'height'> {
  const text = rem(CHART_TEXT_rem);
  const axis: uPlot.Axis = {
    stroke: colours.inkSoft,
    font: canvasFont(text),
    labelFont: canvasFont(text),
    grid: { stroke: colours.line, width: 1 },
    ticks: { stroke: colours.line, width: 1 },
  };
  return {
    legend: { show: false },
    cursor: { show: false },
    padding: [8, 16, 0, 0],
    scales: {
      x: { time: false, range: (_chart, min, max) => range() ?? [min, max] },
      y: scale.decibel ? { range: levelRange(true) } : { distr: 3, range: levelRange(false) },
    },
    axes: [
      { ...axis, label: across, labelSize: text * 1.4, labelGap: 0, size: text * 2.1, gap: 2 },
      {
        ...axis,
        size: text * 4.7,
        // On the logarithmic scale only whole decades; uPlot's own splits crowd a low chart.
        splits: (_chart, _axis, min, max) => (scale.decibel ? steps(min, max) : decades(min, max)),
        filter: (_chart, splits) => splits,
        // A low chart has no room for a number at every line; the topmost always has one.
        values: (chart, values) => {
          const apart = chart.bbox.height / devicePixelRatio / Math.max(1, values.length - 1);
          const every = Math.ceil((1.2 * text) / apart);
          return values.map((v, i) => ((values.length - 1 - i) % every === 0 ? formatTick(v, language) : ''));
        },
      },
    ],
    series: [{}, ...series],
    plugins: [orderMarks(marks, colours)],
  };
}

/** Every 20 dB. */
const steps = (min: number, max: number) =>
  Array.from({ length: Math.round((max - min) / 20) + 1 }, (_, i) => min + 20 * i);
