import { useEffect, useMemo } from 'react';
import { useTranslation } from 'react-i18next';
import type uPlot from 'uplot';
import type { CommonGround, OverlaidSpectrum } from '../../../shared/contract/returning-car.ts';
import { Button } from '../../components/Button.tsx';
import { LineChart } from '../../components/LineChart.tsx';
import type { OrderMark } from '../../components/order-marks.ts';
import { spectrumOptions } from '../../components/spectrum-options.ts';
import { useOrderName } from '../../i18n/use-order-name.ts';
import { KEYS } from '../../keys.ts';
import { levelScale } from '../../levels/scale.ts';
import { useApp } from '../../store/context.ts';
import { groundKey, type Overlay } from '../../store/returning.ts';
import { TURNING_ORDERS } from '../live/OrderSpectrum.tsx';
import styles from './CompareScreen.module.css';
import { useOrderMarks } from './use-order-marks.ts';
import type { usePairPlayer } from './use-pair-player.ts';

interface Props {
  ground: CommonGround;
  days: { earlier: string; later: string };
  player: ReturnType<typeof usePairPlayer>;
}

/** Both spectra on one order axis, and both sounds in turn at one gain. */
export function OverlayPanel({ ground, days, player }: Props) {
  const { t } = useTranslation();
  const key = groundKey(ground);
  const overlay = useApp((s) => s.overlays[key] ?? null);
  const loadOverlay = useApp((s) => s.loadOverlay);
  // biome-ignore lint/correctness/useExhaustiveDependencies: the key stands for the ground
  useEffect(() => void loadOverlay(ground), [key, loadOverlay]);
  const marks = useOrderMarks();
  return (
    <section className={styles.overlay} aria-labelledby="overlay-title">
      <div className={styles.head}>
        <h2 id="overlay-title">{t('compare.overlay')}</h2>
        <Listening player={player} days={days} />
      </div>
      {overlay && (
        <Chart overlay={overlay} marks={marks} rebuild={key} hint={t('compare.overlayHint', days)} />
      )}
    </section>
  );
}

function Listening({ player, days }: Pick<Props, 'player' | 'days'>) {
  const { t } = useTranslation();
  return (
    <fieldset className={styles.listening}>
      <legend className="visually-hidden">{t('compare.hear')}</legend>
      {(['earlier', 'later'] as const).map((which, i) => (
        <Button
          key={which}
          aria-pressed={player.heard === which}
          primary={player.heard === which}
          onClick={() => void player.hear(which)}
        >
          <span>
            ▶ {days[which]} <kbd>{i + 1}</kbd>
          </span>
        </Button>
      ))}
      <Button onClick={player.stop} disabled={player.heard === null}>
        <span>
          {t('compare.stop')} <kbd>{t('keyCap.Space')}</kbd>
        </span>
      </Button>
      <small>
        {t('compare.hearHint')} <kbd>{KEYS.hearPrevious.keys[0]}</kbd>
      </small>
    </fieldset>
  );
}

function Chart({
  overlay,
  marks,
  rebuild,
  hint,
}: {
  overlay: Overlay;
  marks: readonly OrderMark[];
  rebuild: string;
  hint: string;
}) {
  const { t, i18n } = useTranslation();
  const unit = useApp((s) => s.unit);
  const orderRange = useApp((s) => s.orderRange);
  const orderName = useOrderName();
  const { earlier, later } = overlay;
  // Kept in m/s²: a full scale of 1 m/s² makes ratios of them.
  const scale = useMemo(
    () => levelScale([{ channel: 1, role: 'vibration', position: '-', fullScale_m_s2: 1 }], true, unit),
    [unit],
  );
  const data = useMemo(
    (): uPlot.AlignedData | null =>
      earlier && later
        ? [
            placesOf(later),
            later.rms_m_s2.map((rms) => (rms > 0 ? scale.value(rms, 1) : null)),
            onPlacesOf(later, earlier).map((rms) => (rms > 0 ? scale.value(rms, 1) : null)),
          ]
        : null,
    [earlier, later, scale],
  );
  if (!data) return <p>{t('compare.noOverlay')}</p>;
  const across = t('live.ordersOf', { shaft: orderName('wheel') });
  return (
    <>
      <p className={styles.hint}>
        {hint} {scale.label}. <kbd>{KEYS.orderRange.keys[0]}</kbd>
      </p>
      <div className={styles.chart}>
        <LineChart
          label={`${t('compare.overlay')}, ${scale.label}`}
          data={data}
          rebuild={`${rebuild} ${scale.label} ${orderRange} ${marks.length}`}
          options={(colours) =>
            spectrumOptions(
              {
                scale,
                language: i18n.language,
                across,
                range: () => (orderRange === 'turning' ? [0, TURNING_ORDERS] : null),
                marks: () => marks,
                series: [
                  { stroke: colours.ink, width: 1.75, points: { show: false } },
                  { stroke: colours.accent, width: 1.5, dash: [5, 4], points: { show: false } },
                ],
              },
              colours,
            )
          }
        />
      </div>
    </>
  );
}

const placesOf = ({ first, step, rms_m_s2 }: OverlaidSpectrum): number[] =>
  rms_m_s2.map((_, k) => first + k * step);

/** The other spectrum at the places of one; where their steps differ, at the nearest order. */
const onPlacesOf = (of: OverlaidSpectrum, other: OverlaidSpectrum): number[] =>
  placesOf(of).map((order) => other.rms_m_s2[Math.round((order - other.first) / other.step)] ?? 0);
