import type { DrivingState } from '../driveline/words.ts';
import type { ChannelMeasure } from './measure-run.ts';
import type { Answer } from './observation.ts';
import type { Stretch } from './stretches.ts';

/** Growth of running-gear noise with speed when nothing else is known, dB for a doubling (common practice: 6-12). */
const USUAL_GROWTH_DB = 8;
/** Speeds must differ by this factor before a growth can be read off. */
const SPEED_SPAN = 1.2;

/**
 * How a family's level answers to torque, sway and speed at one pickup.
 * @param level_db level in one stretch; null where it was not measured
 */
export function channelAnswer(
  channel: ChannelMeasure,
  level_db: (index: number) => number | null,
): Answer | null {
  const points = channel.stretches.flatMap(({ stretch }, i) => {
    const level = level_db(i);
    return level === null || !Number.isFinite(level) ? [] : [{ stretch, level }];
  });
  if (points.length < 2) return null;
  const middle = geometricMean(points.map((p) => p.stretch.wheel_Hz ?? 1));
  const atMiddleSpeed = points.map(({ stretch, level }) => ({
    state: stretch.state,
    seconds: stretch.to_s - stretch.from_s,
    level: level - USUAL_GROWTH_DB * Math.log2((stretch.wheel_Hz ?? middle) / middle),
  }));
  const mean = (state: DrivingState): number | null => {
    const own = atMiddleSpeed.filter((p) => p.state === state);
    const seconds = own.reduce((sum, p) => sum + p.seconds, 0);
    return seconds > 0 ? own.reduce((sum, p) => sum + p.level * p.seconds, 0) / seconds : null;
  };
  const torque = [mean('drive'), mean('coast'), mean('float')].filter((l) => l !== null);
  const left = mean('swayLeft');
  const right = mean('swayRight');
  return {
    run: channel.run,
    channel: channel.channel,
    position: channel.position,
    torque_db: torque.length >= 2 ? Math.max(...torque) - Math.min(...torque) : null,
    sway_db: left !== null && right !== null ? Math.abs(left - right) : null,
    perDoubling_db: growth(points),
  };
}

function geometricMean(values: readonly number[]): number {
  return Math.exp(values.reduce((sum, v) => sum + Math.log(v), 0) / values.length);
}

/** Slope of level over the doublings of speed, within the driving state that spans the widest speed range. */
function growth(points: readonly { stretch: Stretch; level: number }[]): number | null {
  const moving = points.filter((p) => p.stretch.wheel_Hz !== null && p.stretch.wheel_Hz > 0);
  let best: { span: number; slope: number } | null = null;
  for (const state of new Set(moving.map((p) => p.stretch.state))) {
    const own = moving.filter((p) => p.stretch.state === state);
    const x = own.map((p) => Math.log2(p.stretch.wheel_Hz!));
    const span = 2 ** (Math.max(...x) - Math.min(...x));
    if (own.length < 2 || span < SPEED_SPAN || (best && span <= best.span)) continue;
    const meanX = x.reduce((a, b) => a + b, 0) / x.length;
    const meanY = own.reduce((a, p) => a + p.level, 0) / own.length;
    let sxy = 0;
    let sxx = 0;
    own.forEach((p, i) => {
      sxy += (x[i]! - meanX) * (p.level - meanY);
      sxx += (x[i]! - meanX) ** 2;
    });
    best = { span, slope: sxy / sxx };
  }
  return best?.slope ?? null;
}
