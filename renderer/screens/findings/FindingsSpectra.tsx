import { useMemo } from 'react';
import { useTranslation } from 'react-i18next';
import type uPlot from 'uplot';
import type { BundleChannel } from '../../../shared/bundle/visit.ts';
import type { DrawnSpectrum, Findings } from '../../../shared/diagnosis/findings.ts';
import type { Source } from '../../../shared/driveline/words.ts';
import { KeyButton } from '../../components/KeyButton.tsx';
import { LineChart } from '../../components/LineChart.tsx';
import type { OrderMark } from '../../components/order-marks.ts';
import { spectrumOptions } from '../../components/spectrum-options.ts';
import { useOrderName } from '../../i18n/use-order-name.ts';
import { positionName } from '../../i18n/words.ts';
import { fullScaleOf, type LevelScale, levelScale } from '../../levels/scale.ts';
import { spectrumData } from '../../levels/spectrum-data.ts';
import { useApp } from '../../store/context.ts';
import type { KeyHandlers } from '../../use-keys.ts';
import { TURNING_ORDERS } from '../live/OrderSpectrum.tsx';
import styles from './FindingsSpectra.module.css';

interface Props {
  findings: Findings;
  /** The channels of the run that is shown. */
  channels: readonly BundleChannel[];
  run: number;
  channel: number | null;
  part: Source;
  keys: KeyHandlers;
}

/** The chosen place's spectrum in orders of the wheel, the faint place's behind it, the parts' orders drawn in. */
export function FindingsSpectra({ findings, channels, run, channel, part, keys }: Props) {
  const { t, i18n } = useTranslation();
  const unit = useApp((s) => s.unit);
  const orderRange = useApp((s) => s.orderRange);
  const { spectra, lines, convincing } = findings;
  const of = (number: number | null | undefined) =>
    spectra.find((s) => s.run === run && s.channel === number) ?? null;
  const shown = of(channel);
  const quiet = convincing?.quiet.run === run ? of(convincing.quiet.channel) : null;
  const beside = quiet && quiet !== shown && shown && quiet.step === shown.step ? quiet : null;
  const scale = useMemo(() => {
    const absolute = channels.every((c) => c.role === 'tacho' || fullScaleOf(c) !== null);
    return levelScale(channels, absolute, unit);
  }, [channels, unit]);
  const data = useMemo(
    () => (shown ? overlaid(shown, beside, channels, scale) : null),
    [shown, beside, channels, scale],
  );
  const orderName = useOrderName();
  const marks = useMemo(
    () =>
      lines.map(
        ({ order, label, sources }): OrderMark => ({
          order,
          label: `${sources.includes(part) ? '▸ ' : ''}${orderName(label)}`,
        }),
      ),
    [lines, part, orderName],
  );
  const belongs = lines.some((line) => line.sources.includes(part));
  if (!shown || !data) return <p>{t('findings.spectra.noSpeed')}</p>;
  const place = positionName(t, shown.position);
  const places = beside ? `${place}, ${positionName(t, beside.position)}` : place;
  return (
    <section className={styles.panel}>
      <h2 className={styles.title}>
        {t('findings.spectra.title')}
        <span>
          — {place} ({shown.channel}), {scale.label}
        </span>
        {beside && (
          <span>
            {t('findings.spectra.beside', {
              place: `${positionName(t, beside.position)} (${beside.channel})`,
            })}
          </span>
        )}
        {belongs && <span>{t('findings.spectra.marks', { part: t(`part.${part}`) })}</span>}
        <span>
          <KeyButton action="orderRange" keys={keys} />{' '}
          {t(orderRange === 'all' ? 'live.rangeAll' : 'live.rangeTurning')}
        </span>
      </h2>
      <LineChart
        label={`${t('findings.spectra.label', { places })}, ${t('live.ordersOf', { shaft: orderName(shown.shaft) })}`}
        data={data}
        rebuild={`${scale.label} ${orderRange} ${data.length} ${part} ${run}`}
        options={(colours) =>
          spectrumOptions(
            {
              scale,
              language: i18n.language,
              across: t('live.ordersOf', { shaft: orderName(shown.shaft) }),
              range: () => (orderRange === 'turning' ? [0, TURNING_ORDERS] : null),
              marks: () => marks,
              series: [
                { stroke: colours.ink, width: 1.5, points: { show: false } },
                ...(data.length === 3
                  ? [{ stroke: colours.inkSoft, width: 1.5, dash: [5, 4], points: { show: false } }]
                  : []),
              ],
            },
            colours,
          )
        }
      />
    </section>
  );
}

function overlaid(
  shown: DrawnSpectrum,
  beside: DrawnSpectrum | null,
  channels: readonly BundleChannel[],
  scale: LevelScale,
): uPlot.AlignedData {
  // The findings give m/s² where the sensitivity is known; the scale takes ratios of full scale.
  const drawn = (spectrum: DrawnSpectrum) => {
    const channel = channels.find((c) => c.channel === spectrum.channel);
    const fullScale = channel ? fullScaleOf(channel) : null;
    const rms = fullScale === null ? spectrum.rms : spectrum.rms.map((x) => x / fullScale);
    return spectrumData({ ...spectrum, rms }, scale, fullScale);
  };
  const data = drawn(shown);
  if (!beside) return data;
  const other = drawn(beside)[1]!;
  return [data[0], data[1]!, Array.from({ length: shown.rms.length }, (_, i) => other[i] ?? null)];
}
