import type { RunningGear } from '../driveline/runningGear.ts';
import { linePower, pooled } from './lines.ts';
import type { ChannelMeasure, StretchMeasure } from './measure-run.ts';
import { noiseCurve } from './spectrum-noise.ts';
import { inputRatio, type Stretch, sameGear } from './stretches.ts';
import { nearOrder, type ToneOrigin, toneOrigins } from './tone-origin.ts';

/** A line of the order spectrum as all pickups of one run hear it in one gear. */
export type Tone = {
  readonly run: number;
  /** Counts the run's gears in the order in which they were driven. */
  readonly gear: number;
  /** In turns of a wheel. */
  readonly order: number;
  readonly origin: ToneOrigin;
  readonly heard: readonly ToneAt[];
};

export type ToneAt = {
  readonly channel: number;
  readonly position: string;
  /** Level of the line, dB re 1 of the measure's own unit. */
  readonly level_db: number;
  /** Over the third octave of noise around it. */
  readonly over_db: number;
  /** Over all that the pickup hears from 50 Hz on. */
  readonly share_db: number;
};

/** From here on lines are gears' and engines'; below, wheels have theirs. */
const LOWEST_ORDER = 2.2;
/** Power of a bin over the noise around it, of the pickup that hears the line best, from which it is a line. */
const STANDS_OUT = 4;
/** Two maxima closer than this, relative, are one line. */
const APART = 0.012;
const MOST_TONES = 24;
/** First of the front end's quarter octaves that counts for the whole: what is slower is felt and not heard. */
const FROM_50_HZ = 4;
/** A line fainter than the noise in its own width counts as this share of it. */
const FAINTEST = 0.1;

/** The clearest lines of each run and gear, whatever makes them. */
export function tones(vehicle: RunningGear, channels: readonly ChannelMeasure[]): Tone[] {
  const runs = new Set(channels.map((c) => c.run));
  return [...runs].flatMap((run) => {
    const own = channels.filter((c) => c.run === run);
    const perGear = gearsOf(own).map((gear, g) => ({ gear, tones: tonesOf(vehicle, own, g, gear) }));
    return perGear.flatMap(({ gear, tones }) => {
      const others = perGear.filter((other) => other.gear !== gear);
      return tones.map((tone) =>
        tone.origin === 'stray' ? { ...tone, origin: originByGears(tone.order, gear, others) } : tone,
      );
    });
  });
}

/** The stretches of each gear of a run, by their places in it. */
type Gear = { readonly first: Stretch; readonly stretches: ReadonlySet<number> };

function gearsOf(channels: readonly ChannelMeasure[]): Gear[] {
  const gears: { first: Stretch; stretches: Set<number> }[] = [];
  channels[0]?.stretches.forEach(({ stretch }, i) => {
    const known = gears.find((g) => sameGear(g.first, stretch));
    if (known) known.stretches.add(i);
    else gears.push({ first: stretch, stretches: new Set([i]) });
  });
  return gears;
}

/** @param channels of one run */
function tonesOf(
  vehicle: RunningGear,
  channels: readonly ChannelMeasure[],
  gear: number,
  { first: { shafts }, stretches: inGear }: Gear,
): Tone[] {
  const own = channels.flatMap((channel) => {
    const stretches = channel.stretches.filter((_, i) => inGear.has(i));
    const spectrum = pooled(stretches.flatMap((s) => s.orders ?? []));
    return spectrum ? [{ channel, spectrum, total: totalPower(stretches) }] : [];
  });
  const first = own[0];
  if (!first) return [];
  const clearest = new Float64Array(first.spectrum.power.length);
  for (const { spectrum } of own) {
    const noise = noiseCurve(spectrum);
    for (let k = 0; k < clearest.length; k++) {
      clearest[k] = Math.max(clearest[k]!, spectrum.power[k]! / noise[k]!);
    }
  }
  const { step } = first.spectrum;
  const originOf = toneOrigins(vehicle, shafts);
  return maxima(clearest, Math.ceil(LOWEST_ORDER / step)).map((k) => ({
    run: first.channel.run,
    gear,
    order: k * step,
    origin: originOf(k * step),
    heard: own.flatMap(({ channel, spectrum, total }): ToneAt[] => {
      const power = linePower(spectrum, k * step, 0);
      if (!power) return [];
      const line = Math.max(power.line, FAINTEST * power.noiseInLine);
      return [
        {
          channel: channel.channel,
          position: channel.position,
          level_db: 10 * Math.log10(line),
          over_db: 10 * Math.log10(line / power.noiseInThird),
          share_db: 10 * Math.log10(line / total),
        },
      ];
    }),
  }));
}

/** What keeps its place against the wheels when the gear is changed lies behind the gearbox, what moves before it. */
function originByGears(
  order: number,
  own: Gear,
  others: readonly { readonly gear: Gear; readonly tones: readonly Tone[] }[],
): ToneOrigin {
  const isHeard = (tones: readonly Tone[], at: number): boolean =>
    tones.some((tone) => nearOrder(at, tone.order));
  if (others.some(({ tones }) => isHeard(tones, order))) return 'driveline';
  const movesWithInput = others.some(({ gear, tones }) => {
    const turns = inputRatio(own.first, gear.first);
    return turns !== null && isHeard(tones, order * turns);
  });
  return movesWithInput ? 'gearboxInput' : 'stray';
}

/** Mean square of a pickup over some stretches. */
function totalPower(stretches: readonly StretchMeasure[]): number {
  let sum = 0;
  let seconds = 0;
  for (const { stretch, bands } of stretches) {
    const span = stretch.to_s - stretch.from_s;
    for (const power of bands.subarray(FROM_50_HZ)) if (power > 0) sum += span * power;
    seconds += span;
  }
  return sum / seconds;
}

function maxima(ratio: Float64Array, first: number): number[] {
  const found: number[] = [];
  for (let k = first; k < ratio.length - 3; k++) {
    if (ratio[k]! < STANDS_OUT) continue;
    const reach = Math.max(3, Math.round(APART * k));
    if (ratio.subarray(Math.max(0, k - reach), k + reach + 1).every((v) => v <= ratio[k]!)) found.push(k);
  }
  return found.sort((a, b) => ratio[b]! - ratio[a]!).slice(0, MOST_TONES);
}
