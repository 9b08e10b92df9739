import { useEffect, useMemo } from 'react';
import { useTranslation } from 'react-i18next';
import type uPlot from 'uplot';
import type { BundleChannel, VehicleSpec } from '../../../shared/bundle/visit.ts';
import type { RunHistory } from '../../../shared/contract/garage.ts';
import type { RequestInput } from '../../../shared/contract/requests.ts';
import { partOrders } from '../../../shared/driveline/orders.ts';
import { LineChart } from '../../components/LineChart.tsx';
import type { OrderMark } from '../../components/order-marks.ts';
import { spectrumOptions } from '../../components/spectrum-options.ts';
import { formatDay } from '../../format.ts';
import { useOrderName } from '../../i18n/use-order-name.ts';
import { KEYS } from '../../keys.ts';
import { fullScaleOf, type LevelScale } from '../../levels/scale.ts';
import { type Lines, spectrumData } from '../../levels/spectrum-data.ts';
import { useApp } from '../../store/context.ts';
import { type RunSpectrum, spectrumKey } from '../../store/garage.ts';
import { TURNING_ORDERS } from '../live/OrderSpectrum.tsx';
import styles from './RunSpectra.module.css';
import { type Stretch, stretchesOf } from './run-stretches.ts';

const REST_ms = 250;

interface Props {
  history: RunHistory;
  stretch: Stretch;
  heard: number;
  scale: LevelScale;
  /** The earlier visit's run to lie beside it, or null. */
  earlier: RunHistory | null;
}

/** The heard channel's spectra over the stretch: in orders, with the parts drawn in, and in hertz. */
export function RunSpectra({ history, stretch, heard, scale, earlier }: Props) {
  const { t, i18n } = useTranslation();
  const orderName = useOrderName();
  const orderRange = useApp((s) => s.orderRange);
  const channel = history.run.channels.find((c) => c.channel === heard)!;
  const { runId, ...part } = { runId: history.run.id, from_s: stretch.from_s, to_s: stretch.to_s };
  const now = useSpectrum({ runId, channel: heard, ...part });
  const then = useEarlierSpectrum(earlier, channel, stretch);
  const fullScale = fullScaleOf(channel);
  const orders = useMemo(
    () =>
      now?.orders
        ? overlay(now.orders, then?.value.orders ?? null, scale, fullScale, then?.fullScale ?? null)
        : null,
    [now, then, scale, fullScale],
  );
  const hertz = useMemo(() => now && spectrumData(now.hertz, scale, fullScale), [now, scale, fullScale]);
  const vehicle = useApp((s) => s.vehiclePage?.vehicle.spec ?? null);
  const { gearRatio = null } = history.run.segments.find((s) => s.from_s === stretch.from_s) ?? {};
  const shaft = now?.orders?.shaft;
  const marks = useMemo(
    () =>
      shaft
        ? marksOf(history, shaft, vehicle, gearRatio).map((m) => ({ ...m, label: orderName(m.label) }))
        : [],
    [history, shaft, vehicle, gearRatio, orderName],
  );
  if (!now || !hertz) return <p aria-busy="true">{t('visit.computing')}</p>;
  const compared = orders?.length === 3 && earlier;
  return (
    <section className={styles.pair}>
      <div className={styles.panel}>
        <h2>
          {t('visit.spectrumOrders')}{' '}
          <span>
            {t('setup.channel', { channel: heard })}, {scale.label}
          </span>
          {compared && (
            <span>{t('visit.earlierDashed', { date: formatDay(earlier.run.startedAt, i18n.language) })}</span>
          )}
          <kbd>{KEYS.orderRange.keys[0]}</kbd>
        </h2>
        {orders && now.orders ? (
          <LineChart
            label={`${t('live.orderSpectrum', { channel: heard })}, ${t('live.ordersOf', { shaft: orderName(now.orders.shaft) })}`}
            data={orders}
            rebuild={`${scale.label} ${orderRange} ${marks.length} ${orders.length}`}
            options={(colours) =>
              spectrumOptions(
                {
                  scale,
                  language: i18n.language,
                  across: t('live.ordersOf', { shaft: orderName(now.orders!.shaft) }),
                  range: () => (orderRange === 'turning' ? [0, TURNING_ORDERS] : null),
                  marks: () => marks,
                  series: [
                    { stroke: colours.ink, width: 1.5, points: { show: false } },
                    ...(orders.length === 3
                      ? [{ stroke: colours.inkSoft, width: 1.5, dash: [5, 4], points: { show: false } }]
                      : []),
                  ],
                },
                colours,
              )
            }
          />
        ) : (
          <p>{t('visit.noSpeed')}</p>
        )}
      </div>
      <div className={styles.panel}>
        <h2>
          {t('visit.spectrumHertz')}{' '}
          <span>
            {t('setup.channel', { channel: heard })}, {scale.label}
          </span>
        </h2>
        <LineChart
          label={`${t('visit.spectrumHertz')}, ${t('setup.channel', { channel: heard })}`}
          data={hertz}
          rebuild={scale.label}
          options={(colours) =>
            spectrumOptions(
              {
                scale,
                language: i18n.language,
                across: t('visit.hertz'),
                range: () => null,
                marks: () => [],
                series: [{ stroke: colours.ink, width: 1.5, points: { show: false } }],
              },
              colours,
            )
          }
        />
      </div>
    </section>
  );
}

function useSpectrum(of: RequestInput<'runs.spectrum'> | null): RunSpectrum | null {
  const loadSpectrum = useApp((s) => s.loadSpectrum);
  const key = of && spectrumKey(of);
  // biome-ignore lint/correctness/useExhaustiveDependencies: the key stands for what is asked
  useEffect(() => {
    if (!of) return;
    // Who walks over the channels by key does not want every one of them computed.
    const timer = setTimeout(() => void loadSpectrum(of), REST_ms);
    return () => clearTimeout(timer);
  }, [key, loadSpectrum]);
  return useApp((s) => (key ? (s.spectra[key] ?? null) : null));
}

/** The earlier run's spectrum at the same place and driving state, when both full scales are known. */
function useEarlierSpectrum(earlier: RunHistory | null, channel: BundleChannel, stretch: Stretch) {
  const other = earlier?.run.channels.find(
    (c) => c.role === 'vibration' && channel.role === 'vibration' && c.position === channel.position,
  );
  const same = earlier && stretchesOf(earlier.run).find((s) => s.state === stretch.state);
  const fullScale = other ? fullScaleOf(other) : null;
  const comparable = same && other && fullScale !== null && fullScaleOf(channel) !== null;
  const value = useSpectrum(
    comparable
      ? { runId: earlier.run.id, channel: other.channel, from_s: same.from_s, to_s: same.to_s }
      : null,
  );
  return useMemo(() => (value ? { value, fullScale } : null), [value, fullScale]);
}

/** Both spectra on one order axis; the earlier one only where its bins are the same orders of the same shaft. */
function overlay(
  now: Lines & { shaft: string },
  then: (Lines & { shaft: string }) | null,
  scale: LevelScale,
  fullScale: number | null,
  thenFullScale: number | null,
): uPlot.AlignedData {
  const data = spectrumData(now, scale, fullScale);
  const alike = then && then.shaft === now.shaft && then.step === now.step && then.first === now.first;
  if (!alike) return data;
  const before = spectrumData(then, scale, thenFullScale)[1]!;
  return [data[0], data[1]!, Array.from({ length: now.rms.length }, (_, i) => before[i] ?? null)];
}

/**
 * Where the run's lines lie on the spectrum's axis: at once on their own shaft, through the driveline's ratios on the
 * wheel's; lines whose ratio is not known are not drawn.
 */
function marksOf(
  history: RunHistory,
  shaft: string,
  vehicle: VehicleSpec | null,
  gearRatio: number | null,
): OrderMark[] {
  const turns: Record<string, number | null> = vehicle
    ? partOrders(vehicle, gearRatio).turnsPerWheelTurn
    : { wheel: 1 };
  return history.run.orderLines.flatMap((line) => {
    const ratio = line.shaft === shaft ? 1 : shaft === 'wheel' ? (turns[line.shaft] ?? null) : null;
    return ratio === null ? [] : [{ order: line.order * ratio, label: line.label }];
  });
}
