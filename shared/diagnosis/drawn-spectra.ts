import { partOrders } from '../driveline/orders.ts';
import type { RunningGear } from '../driveline/runningGear.ts';
import type { DrawnLine, DrawnSpectrum } from './findings.ts';
import type { ChannelMeasure } from './measure-run.ts';

/** A screen is about this many points wide; more would not be seen. */
const MOST_POINTS = 1000;

/** Each channel's order spectrum over all stretches, drawn-size: the highest bin of each group stands for it. */
export function drawnSpectra(channels: readonly ChannelMeasure[]): DrawnSpectrum[] {
  return channels.flatMap((channel) => {
    const spectra = channel.stretches.flatMap((s) => s.orders ?? []);
    const first = spectra[0];
    if (!first) return [];
    const group = Math.ceil(first.power.length / MOST_POINTS);
    const points = Math.floor(first.power.length / group);
    const rms = Array.from({ length: points }, (_, i) => {
      let highest = 0;
      for (let k = i * group; k < (i + 1) * group; k++) {
        let mean = 0;
        for (const s of spectra) mean += s.power[k]! / spectra.length;
        highest = Math.max(highest, mean);
      }
      return Number(Math.sqrt(highest).toPrecision(4));
    });
    return [
      {
        run: channel.run + 1,
        channel: channel.channel,
        position: channel.position,
        shaft: 'wheel' as const,
        first: 0,
        step: first.step * group,
        rms,
      },
    ];
  });
}

/** The parts' orders to draw into the spectra, for the gear that was driven most. */
export function drawnLines(vehicle: RunningGear, gearRatio: number | null): DrawnLine[] {
  return partOrders(vehicle, gearRatio).lines.flatMap((line) =>
    line.orderAtWheel === null
      ? []
      : [{ label: line.label, order: line.orderAtWheel, sources: [...line.sources] }],
  );
}
