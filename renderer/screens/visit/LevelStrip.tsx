import { useMemo } from 'react';
import { useTranslation } from 'react-i18next';
import type uPlot from 'uplot';
import type { RunHistory } from '../../../shared/contract/garage.ts';
import { LineChart } from '../../components/LineChart.tsx';
import { runOverlay } from '../../components/run-overlay.ts';
import { positionName, shaftName } from '../../i18n/words.ts';
import { fullScaleOf, type LevelScale } from '../../levels/scale.ts';
import { runSeconds } from './run-stretches.ts';

interface Props {
  history: RunHistory;
  /** Index in the run's channels. */
  index: number;
  heard: boolean;
  scale: LevelScale;
  /** Foot and top of all strips, as places on the meter. */
  span: readonly [number, number];
}

/** One channel's level over time; all strips share one logarithmic scale, so that heights compare. */
export function LevelStrip({ history, index, heard, scale, span }: Props) {
  const { t } = useTranslation();
  const { run } = history;
  const channel = run.channels[index]!;
  const data = useMemo(
    () =>
      [
        history.second.map((s) => s + 0.5),
        history.rms[index]!.map((ratio) => scale.place(ratio, fullScaleOf(channel))),
      ] as [number[], number[]],
    [history, index, channel, scale],
  );
  const position =
    channel.role === 'vibration' ? positionName(t, channel.position) : shaftName(t, channel.shaft);
  return (
    <LineChart
      label={t('visit.strip', { channel: channel.channel, position })}
      data={data}
      rebuild={`${run.id} ${heard} ${scale.label} ${span}`}
      options={(colours) => ({
        legend: { show: false },
        cursor: { show: false },
        padding: [0, 0, 0, 0],
        scales: { x: { time: false, range: [0, runSeconds(run)] }, y: { range: [...span] } },
        axes: [{ show: false }, { show: false }],
        series: [
          {},
          {
            stroke: heard ? colours.barHeard : colours.bar,
            width: heard ? 3 : 1.5,
            fill: heard ? `${colours.barHeard}66` : `${colours.bar}33`,
            points: { show: false },
          },
        ],
        plugins: [
          { hooks: { drawClear: (chart) => drawTicks(chart, scale, span, colours.line) } },
          runOverlay(run, colours, null),
        ],
      })}
    />
  );
}

function drawTicks(chart: uPlot, scale: LevelScale, span: Props['span'], colour: string) {
  const { ctx, bbox } = chart;
  ctx.save();
  ctx.fillStyle = colour;
  for (const tick of scale.ticks.filter(({ place }) => place >= span[0] && place <= span[1]))
    ctx.fillRect(bbox.left, Math.round(chart.valToPos(tick.place, 'y', true)), bbox.width, 1);
  ctx.restore();
}
