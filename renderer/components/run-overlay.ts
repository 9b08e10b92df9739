import type uPlot from 'uplot';
import type { Run } from '../../shared/contract/garage.ts';
import { CHART_TEXT_rem, type Colours, canvasFont, rem } from './colours.ts';

/** Words of the overlay, already in the technician's language. */
export interface OverlayWords {
  state(state: Run['segments'][number]['state']): string;
  mark: string;
  gap: string;
}

/** Words may be drawn this much narrower before they are left out. */
const NARROWEST = 0.75;

/**
 * Draws a run's driving states (lines and words), marks (solid lines) and gaps (hatched) into a chart over time.
 * Without words only the lines are drawn, for the strips below the timeline.
 */
export function runOverlay(run: Run, colours: Colours, words: OverlayWords | null): uPlot.Plugin {
  const draw = (chart: uPlot) => {
    const { ctx: context, bbox } = chart;
    const px = devicePixelRatio;
    const size = rem(CHART_TEXT_rem) * px;
    const x = (at_s: number) => Math.round(chart.valToPos(at_s, 'x', true));
    const line = (at_s: number, width: number, dash: number[]) => {
      context.lineWidth = width * px;
      context.setLineDash(dash.map((d) => d * px));
      context.beginPath();
      context.moveTo(x(at_s), bbox.top);
      context.lineTo(x(at_s), bbox.top + bbox.height);
      context.stroke();
    };
    /** @param end where the next word begins, if it could be near */
    const word = (text: string, at_s: number, row: number, strong = false, end?: number) => {
      context.font = canvasFont(size, strong ? 'bold' : '');
      const from = x(at_s) + 5 * px;
      const room = end === undefined ? undefined : end - from - 2 * px;
      if (room === undefined || room > NARROWEST * context.measureText(text).width)
        context.fillText(text, from, bbox.top + 2 * px + row * size * 1.25, room);
    };
    context.save();
    context.beginPath();
    context.rect(bbox.left, bbox.top, bbox.width, bbox.height);
    context.clip();
    context.textAlign = 'left';
    context.textBaseline = 'top';

    context.strokeStyle = colours.lineStrong;
    context.fillStyle = colours.inkSoft;
    run.segments.forEach(({ from_s, state }, i) => {
      line(from_s, 1, [3, 3]);
      const next = run.segments[i + 1];
      if (words) word(words.state(state), from_s, 0, false, next ? x(next.from_s) : bbox.left + bbox.width);
    });

    context.strokeStyle = colours.inkSoft;
    for (const gap of run.gaps) {
      const from = x(gap.firstFrame / run.sampleRate_Hz);
      const to = Math.max(from + 4 * px, x((gap.firstFrame + gap.frames) / run.sampleRate_Hz));
      context.setLineDash([]);
      context.lineWidth = px;
      for (let y = 0; y < bbox.height; y += 5 * px) {
        context.beginPath();
        context.moveTo(from, bbox.top + y);
        context.lineTo(to, bbox.top + y + (to - from));
        context.stroke();
      }
      if (words) word(words.gap, gap.firstFrame / run.sampleRate_Hz, 2);
    }

    context.strokeStyle = colours.accent;
    context.fillStyle = colours.ink;
    for (const mark of run.marks) {
      line(mark.at_s, 2, []);
      if (words) word(`▸ ${mark.text || words.mark}`, mark.at_s, 1, true);
    }
    context.restore();
  };
  return { hooks: { draw } };
}
