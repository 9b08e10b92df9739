import type { BundleChannel, BundleRun } from '../../shared/bundle/visit.ts';
import type { SimulatedVisit } from '../road-drive/simulate.ts';

/**
 * What goes wrong on the way from the car to the bundle. Each takes a good visit and gives one with the mishap; the
 * truth stays, so that a test can ask whether the answer got less certain rather than wrong.
 */

/** The leads of two vibration channels (numbers from 1) were plugged in each other's place, unnoticed. */
export function withSwappedLeads(visit: SimulatedVisit, run: number, a: number, b: number): SimulatedVisit {
  const runs = visit.runs.map((recorded, i) => {
    if (i !== run) return recorded;
    const channels = [...recorded.channels];
    [channels[a - 1], channels[b - 1]] = [channels[b - 1]!, channels[a - 1]!];
    return { ...recorded, channels };
  });
  return { ...visit, runs };
}

/** Full scale was noted in g where m/s² are meant. */
export function withFullScaleInG(visit: SimulatedVisit): SimulatedVisit {
  return changeRuns(visit, (run) => ({
    ...run,
    channels: run.channels.map(
      (channel): BundleChannel =>
        channel.role === 'vibration' && channel.fullScale_m_s2 != null
          ? { ...channel, fullScale_m_s2: channel.fullScale_m_s2 / STANDARD_GRAVITY_M_S2 }
          : channel,
    ),
  }));
}
const STANDARD_GRAVITY_M_S2 = 9.80665;

/** Nobody marked the driving states. */
export function withoutSegments(visit: SimulatedVisit): SimulatedVisit {
  return changeRuns(visit, (run) => ({ ...run, segments: [] }));
}

/** The speed was never recorded. */
export function withoutSpeed(visit: SimulatedVisit): SimulatedVisit {
  return changeRuns(visit, (run) => ({ ...run, speed: null }));
}

/** The passenger marks a sway by the side to which he steers, not by the side that is loaded. */
export function withSwaysNamedTheOtherWay(visit: SimulatedVisit): SimulatedVisit {
  const other = { swayLeft: 'swayRight', swayRight: 'swayLeft' } as const;
  return changeRuns(visit, (run) => ({
    ...run,
    segments: run.segments.map((segment) =>
      segment.state === 'swayLeft' || segment.state === 'swayRight'
        ? { ...segment, state: other[segment.state] }
        : segment,
    ),
  }));
}

/** The satellite was out of sight for a while: no readings in between. */
export function withSpeedGap(visit: SimulatedVisit, from_s: number, to_s: number): SimulatedVisit {
  return changeRuns(visit, (run) => {
    if (!run.speed) return run;
    const { t_s, v_km_h } = run.speed;
    const kept = t_s.map((t) => t < from_s || t > to_s);
    return {
      ...run,
      speed: { t_s: t_s.filter((_, i) => kept[i]), v_km_h: v_km_h.filter((_, i) => kept[i]) },
    };
  });
}

function changeRuns(visit: SimulatedVisit, change: (run: BundleRun) => BundleRun): SimulatedVisit {
  return { ...visit, bundle: { ...visit.bundle, runs: visit.bundle.runs.map(change) } };
}
