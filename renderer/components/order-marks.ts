import type uPlot from 'uplot';
import { CHART_TEXT_rem, type Colours, canvasFont, rem } from './colours.ts';

export interface OrderMark {
  order: number;
  label: string;
}

/** At most, and no more than leave half of a low chart to the lines. */
const MOST_ROWS = 3;
const ROW = 1.25;
/** Between the words of two neighbours, in heights of a letter. */
const GAP = 0.9;
const DASHES = [[], [6, 4], [2, 3]];

/**
 * Draws the parts' orders into a spectrum: a line through the plot and its words on top, on the first of up to three
 * rows where they fit beside their neighbours; words that fit nowhere are left out, the line stays.
 */
export function orderMarks(marks: () => readonly OrderMark[], colours: Colours): uPlot.Plugin {
  const draw = (chart: uPlot) => {
    const { ctx: context, bbox } = chart;
    const size = rem(CHART_TEXT_rem) * devicePixelRatio;
    const rows = Math.max(1, Math.min(MOST_ROWS, Math.floor((0.5 * bbox.height) / (ROW * size))));
    const ends: number[] = new Array(rows).fill(Number.NEGATIVE_INFINITY);
    context.save();
    context.font = canvasFont(size);
    context.textBaseline = 'top';
    context.textAlign = 'left';
    context.lineWidth = 1.5 * devicePixelRatio;
    context.strokeStyle = colours.accent;
    const words: { label: string; x: number; top: number }[] = [];
    for (const mark of [...marks()].sort((a, b) => a.order - b.order)) {
      const x = Math.round(chart.valToPos(mark.order, 'x', true));
      if (x < bbox.left || x > bbox.left + bbox.width) continue;
      const width = context.measureText(mark.label).width + GAP * size;
      const atLeft = x + width > bbox.left + bbox.width;
      const from = atLeft ? x - width : x + 4;
      const row = ends.findIndex((end) => end < from);
      const top = bbox.top + Math.max(0, row) * size * ROW;
      context.setLineDash(DASHES[Math.max(0, row)]!.map((d) => d * devicePixelRatio));
      context.beginPath();
      context.moveTo(x, top);
      context.lineTo(x, bbox.top + bbox.height);
      context.stroke();
      if (row < 0) continue;
      ends[row] = from + width;
      words.push({ label: mark.label, x: from + 2, top });
    }
    // After all lines, with a halo that keeps the words legible and the spectrum behind them whole.
    context.setLineDash([]);
    context.strokeStyle = colours.ground;
    context.lineWidth = size * 0.3;
    context.fillStyle = colours.ink;
    for (const { label, x, top } of words) {
      context.strokeText(label, x, top);
      context.fillText(label, x, top);
    }
    context.restore();
  };
  return { hooks: { draw } };
}
