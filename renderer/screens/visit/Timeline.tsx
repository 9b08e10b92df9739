import { useMemo } from 'react';
import { useTranslation } from 'react-i18next';
import type { RunHistory } from '../../../shared/contract/garage.ts';
import { CHART_TEXT_rem, canvasFont, rem } from '../../components/colours.ts';
import { LineChart } from '../../components/LineChart.tsx';
import { runOverlay } from '../../components/run-overlay.ts';
import { formatDuration } from '../../format.ts';
import { runSeconds } from './run-stretches.ts';

/** A time stands centred under its tick: closer to the end of the run it would be cut off. */
const LAST_TIME = 0.95;

/** Speed over the run's time, with driving states, marks and gaps in words. */
export function Timeline({ history }: { history: RunHistory }) {
  const { t } = useTranslation();
  const { run } = history;
  const data = useMemo(
    () => [history.second.map((s) => s + 0.5), history.speed_km_h] as [number[], (number | null)[]],
    [history],
  );
  return (
    <LineChart
      label={t('visit.timeline')}
      data={data}
      rebuild={`${run.id}`}
      options={(colours) => ({
        legend: { show: false },
        cursor: { show: false },
        padding: [0, 0, 0, 0],
        scales: {
          x: { time: false, range: [0, runSeconds(run)] },
          y: { range: (_c, _min, max) => [0, (max || 100) * 1.6] },
        },
        axes: [
          {
            stroke: colours.inkSoft,
            font: canvasFont(rem(CHART_TEXT_rem)),
            size: rem(1.5),
            gap: 2,
            grid: { show: false },
            ticks: { stroke: colours.line },
            values: (_chart, values) =>
              values.map((v) => (v > 0 && v < LAST_TIME * runSeconds(run) ? formatDuration(v) : '')),
          },
          { show: false },
        ],
        series: [{}, { stroke: colours.inkSoft, width: 2, points: { show: false } }],
        plugins: [
          runOverlay(run, colours, {
            state: (state) => t(`state.${state}`),
            mark: t('visit.mark'),
            gap: t('visit.gap'),
          }),
        ],
      })}
    />
  );
}
