import { useEffect, useEffectEvent, useRef } from 'react';
import uPlot from 'uplot';
import { useApp } from '../store/context.ts';
import { type Colours, readColours } from './colours.ts';
import styles from './LineChart.module.css';

interface Props {
  /** What the chart shows, for those who cannot see it. */
  label: string;
  data: uPlot.AlignedData;
  /** Called when the chart is made: at first, on another theme, and when `rebuild` changes. */
  options(colours: Colours): Omit<uPlot.Options, 'width' | 'height'>;
  rebuild: string;
}

/** A uPlot chart that fills its box and follows the theme. */
export function LineChart({ label, data, options, rebuild }: Props) {
  const box = useRef<HTMLDivElement>(null);
  const chart = useRef<uPlot | null>(null);
  const theme = useApp((s) => s.theme);
  const make = useEffectEvent((element: HTMLDivElement) => {
    const size = { width: element.clientWidth, height: element.clientHeight };
    return new uPlot({ ...options(readColours()), ...size }, data, element);
  });

  // biome-ignore lint/correctness/useExhaustiveDependencies: theme and rebuild are what the chart is made anew for
  useEffect(() => {
    const element = box.current!;
    // The theme's attribute is set by an effect of the app, which runs after this one.
    const frame = requestAnimationFrame(() => {
      chart.current = make(element);
    });
    const observer = new ResizeObserver(() =>
      chart.current?.setSize({ width: element.clientWidth, height: element.clientHeight }),
    );
    observer.observe(element);
    return () => {
      cancelAnimationFrame(frame);
      observer.disconnect();
      chart.current?.destroy();
      chart.current = null;
    };
  }, [theme, rebuild]);

  useEffect(() => {
    chart.current?.setData(data);
  }, [data]);

  return <div ref={box} className={styles.box} role="img" aria-label={label} />;
}
