import { useMemo, useRef } from 'react';
import { useTranslation } from 'react-i18next';
import type { LiveState, Orders } from '../../../shared/contract/live.ts';
import { LineChart } from '../../components/LineChart.tsx';
import type { OrderMark } from '../../components/order-marks.ts';
import { spectrumOptions } from '../../components/spectrum-options.ts';
import { useOrderName } from '../../i18n/use-order-name.ts';
import { keyCap, positionName, shaftName } from '../../i18n/words.ts';
import { KEYS } from '../../keys.ts';
import { fullScaleOf, type LevelScale } from '../../levels/scale.ts';
import { spectrumData } from '../../levels/spectrum-data.ts';
import { useApp } from '../../store/context.ts';
import styles from './OrderSpectrum.module.css';

/** Orders up to here are turning rates and their first multiples; gear meshes lie far above. */
export const TURNING_ORDERS = 12;

const marksOf = (orders: Orders, orderName: (label: string) => string): OrderMark[] =>
  orders.lines.flatMap((line) =>
    line.orderAtReference === null ? [] : [{ order: line.orderAtReference, label: orderName(line.label) }],
  );

/** The heard channel's order spectrum with the parts' orders drawn in. */
export function OrderSpectrum({ live, scale }: { live: LiveState; scale: LevelScale }) {
  const { t, i18n } = useTranslation();
  const orderName = useOrderName();
  const orders = useApp((s) => s.orders);
  const orderRange = useApp((s) => s.orderRange);
  const marks = useRef<OrderMark[]>([]);
  const channel = live.channels.find((c) => c.channel === orders?.channel);
  const data = useMemo(
    () => (orders && channel ? spectrumData(orders.spectrum, scale, fullScaleOf(channel)) : null),
    [orders, channel, scale],
  );
  if (!orders || !channel || !data || orders.spectrum.rms.length === 0) {
    return (
      <section className={styles.empty}>
        <p>
          {live.speed.km_h === null && !live.channels.some((c) => c.role === 'tacho')
            ? t('live.noOrders', { keys: keyCap(t, KEYS.faster.keys[0]), type: KEYS.typeSpeed.keys[0] })
            : t(orders ? 'live.noCircumference' : 'live.noOrdersYet')}
        </p>
      </section>
    );
  }
  marks.current = marksOf(orders, orderName);
  const place =
    channel.role === 'vibration' ? positionName(t, channel.position) : shaftName(t, channel.shaft);
  const across = t('live.ordersOf', { shaft: orderName(orders.shaft) });
  return (
    <section className={styles.panel}>
      <h2 className={styles.title}>
        {t('live.orderSpectrum', { channel: channel.channel })}
        <span>{place}</span>
        <span>{scale.label}</span>
        <span>
          <kbd>{KEYS.orderRange.keys[0]}</kbd>{' '}
          {t(orderRange === 'all' ? 'live.rangeAll' : 'live.rangeTurning')}
        </span>
      </h2>
      <LineChart
        label={`${t('live.orderSpectrum', { channel: channel.channel })}, ${place}, ${across}`}
        data={data}
        rebuild={`${scale.label} ${orderRange} ${across}`}
        options={(colours) =>
          spectrumOptions(
            {
              scale,
              language: i18n.language,
              across,
              range: () => (orderRange === 'turning' ? [0, TURNING_ORDERS] : null),
              marks: () => marks.current,
              series: [{ stroke: colours.ink, width: 1.5, points: { show: false } }],
            },
            colours,
          )
        }
      />
    </section>
  );
}
