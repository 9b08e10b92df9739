import { partOrders } from '../driveline/orders.ts';
import type { RunningGear } from '../driveline/runningGear.ts';
import type { DrawnLine, DrawnSpectrum } from './findings.ts';
import type { ChannelMeasure } from './measure-run.ts';
import { distinctTurns, knownTurns, type ShaftTurns, sameTurns } from './shaft-turns.ts';

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

/** The parts' orders to draw into the spectra, with the shafts turning as they did for most of the time. */
export function drawnLines(vehicle: RunningGear, channels: readonly ChannelMeasure[]): DrawnLine[] {
  const { crank, propshaft } = usualTurns(vehicle, channels);
  const turns = { wheel: 1, propshaft, engine: crank };
  return partOrders(vehicle).lines.flatMap(({ label, order, shaft, sources }) => {
    const perWheelTurn = turns[shaft];
    return perWheelTurn === null ? [] : [{ label, order: order * perWheelTurn, sources: [...sources] }];
  });
}

/** Those with a known engine speed go first. */
function usualTurns(vehicle: RunningGear, channels: readonly ChannelMeasure[]): ShaftTurns {
  const stretches = channels.flatMap((c) => c.stretches.map((s) => s.stretch));
  const withCrank = stretches.filter((s) => s.shafts.crank !== null);
  const counted = withCrank.length > 0 ? withCrank : stretches;
  const seconds = (turns: ShaftTurns): number =>
    counted.reduce((sum, s) => (sameTurns(s.shafts, turns) ? sum + s.to_s - s.from_s : sum), 0);
  const all = distinctTurns(counted.map((s) => s.shafts));
  return all.length > 0 ? all.reduce((a, b) => (seconds(b) > seconds(a) ? b : a)) : knownTurns(vehicle, null);
}
