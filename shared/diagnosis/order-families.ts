import type { RunningGear } from '../driveline/runningGear.ts';
import { median, powerLevelDb } from '../dsp/levels.ts';
import { channelAnswer } from './answers.ts';
import { APART, familyLines, ORDER_FAMILIES } from './family-lines.ts';
import { type LinePower, linePower, type PowerOverOrder } from './lines.ts';
import type { ChannelMeasure } from './measure-run.ts';
import type { FamilyFeatures, FamilyId, Observation } from './observation.ts';
import { jointProminence } from './spectrum-noise.ts';
import type { TravelBand } from './travel.ts';

export type OrderChoice = {
  readonly kind: 'orders';
  readonly family: FamilyId;
  /** Strongest line, in turns of a wheel. */
  readonly order: number;
};

/** Power over the noise within the line's width from which a line counts as seen. */
const SEEN = 2;
/** A line searched for all over the spectrum must stand out more: some bin always does by chance. */
const SEEN_ANYWHERE = 4;

const BAND_OF: Partial<Record<FamilyId, TravelBand>> = {
  wheelTurning: 'low',
  propTurning: 'low',
  engineFiring: 'low',
};

/** Order families with known lines, and the strongest line that no known part explains. */
export function orderFamilies(
  vehicle: RunningGear,
  channels: readonly ChannelMeasure[],
  sharp: boolean,
): { features: FamilyFeatures; choice: OrderChoice }[] {
  const linesFor = new Map<number | null, ReturnType<typeof familyLines>>();
  const lines = (gearRatio: number | null) => {
    let known = linesFor.get(gearRatio);
    if (!known) linesFor.set(gearRatio, (known = familyLines(vehicle, gearRatio)));
    return known;
  };
  const families = ORDER_FAMILIES.map((id) =>
    lineFamily(id, channels, (gearRatio) => lines(gearRatio)[id], sharp, SEEN),
  );
  const stray = strayOrder(channels, (gearRatio) => lines(gearRatio));
  if (stray !== null) families.push(lineFamily('otherLines', channels, () => [stray], true, SEEN_ANYWHERE));
  return families;
}

type Measured = {
  readonly channel: ChannelMeasure;
  readonly perStretch: readonly (readonly LinePower[] | null)[];
};

function lineFamily(
  id: FamilyId,
  channels: readonly ChannelMeasure[],
  ordersFor: (gearRatio: number | null) => readonly number[],
  sharp: boolean,
  seen: number,
): { features: FamilyFeatures; choice: OrderChoice } {
  const measured: Measured[] = channels.map((channel) => ({
    channel,
    perStretch: channel.stretches.map(({ orders, stretch }) => {
      const wanted = ordersFor(stretch.gearRatio);
      if (!orders || wanted.length === 0) return null;
      // Without a sharp speed a line lies anywhere within a few percent of its place.
      const found = wanted.map((o) => linePower(orders, o, sharp ? 0.002 * o : 0.03 * o));
      return found.every((f) => f === null) ? null : found.map((f) => f ?? NOTHING);
    }),
  }));
  const usable = measured.filter((m) => m.perStretch.some((s) => s !== null));
  const count = Math.max(0, ...usable.flatMap((m) => m.perStretch.map((s) => s?.length ?? 0)));
  // Each line counts against the noise that lies beside it on this car, so that low and high lines weigh alike.
  const noise = Array.from({ length: count }, (_, l) => {
    const all = usable.flatMap((m) =>
      m.perStretch.flatMap((s) => (s?.[l] && s[l] !== NOTHING ? [s[l].noiseInThird] : [])),
    );
    return all.length > 0 ? median(all) : 0;
  });
  const weigh = (s: readonly LinePower[]): { line: number; inLine: number; third: number } => {
    let line = 0;
    let inLine = 0;
    let third = 0;
    let lines = 0;
    s.forEach((p, l) => {
      if (p === NOTHING || !(noise[l]! > 0)) return;
      if (p.line > (seen - 1) * p.noiseInLine) line += p.line / noise[l]!;
      inLine += p.noiseInLine / noise[l]!;
      third += p.noiseInThird / noise[l]!;
      lines++;
    });
    return { line, inLine: inLine / Math.max(1, lines), third: third / Math.max(1, lines) };
  };
  const observations = usable.flatMap(({ channel, perStretch }): Observation[] => {
    let line = 0;
    let inLine = 0;
    let third = 0;
    let seconds = 0;
    perStretch.forEach((s, i) => {
      if (!s) return;
      const { from_s, to_s } = channel.stretches[i]!.stretch;
      const w = weigh(s);
      line += w.line * (to_s - from_s);
      inLine += w.inLine * (to_s - from_s);
      third += w.third * (to_s - from_s);
      seconds += to_s - from_s;
    });
    if (!(inLine > 0)) return [];
    const limit_db = powerLevelDb((seen * inLine) / seconds, 1);
    const level_db = line > 0.5 * seen * inLine ? powerLevelDb(line / seconds, 1) : null;
    const { run, position } = channel;
    const against_db = powerLevelDb(third / seconds, 1);
    return [{ run, channel: channel.channel, position, level_db, sd_db: 1, limit_db, against_db }];
  });
  const answers = usable.flatMap(
    ({ channel, perStretch }) =>
      channelAnswer(channel, (i) => {
        const s = perStretch[i];
        if (!s) return null;
        const w = weigh(s);
        return w.inLine > 0 ? powerLevelDb(w.line + w.inLine, 1) : null;
      }) ?? [],
  );
  return {
    features: { id, band: BAND_OF[id] ?? 'mid', observations, answers },
    choice: { kind: 'orders', family: id, order: strongestOrder(usable, noise) },
  };
}

const NOTHING: LinePower = { line: 0, noiseInLine: 0, noiseInThird: 0, order: 0 };

function strongestOrder(measured: readonly Measured[], noise: readonly number[]): number {
  let best = { value: -1, order: 0 };
  for (const { perStretch } of measured) {
    for (const s of perStretch) {
      s?.forEach((p, l) => {
        const value = noise[l]! > 0 ? p.line / noise[l]! : 0;
        if (p.order > 0 && value > best.value) best = { value, order: p.order };
      });
    }
  }
  return best.order;
}

/** Range of the search for unexplained lines, in turns of a wheel: above tyres, below the spectrum's end. */
const STRAY_ORDERS = [6, 140] as const;
/** Sidebands of a known mesh reach this many turns of its gears. */
const SIDEBAND_REACH = 6;

/** The order, outside all that known parts make, that stands out most over all pickups; null when none does. */
function strayOrder(
  channels: readonly ChannelMeasure[],
  lines: (gearRatio: number | null) => ReturnType<typeof familyLines>,
): number | null {
  const spectra: PowerOverOrder[] = [];
  const ratios = new Set<number | null>();
  for (const { stretches } of channels) {
    for (const { orders, stretch } of stretches) {
      if (!orders) continue;
      spectra.push(orders);
      ratios.add(stretch.gearRatio);
    }
  }
  const joint = jointProminence(spectra);
  if (!joint) return null;
  const known = [...ratios].map(lines);
  let best: number | null = null;
  let height = 0;
  const { step, db } = joint;
  const last = Math.min(db.length - 2, Math.floor(STRAY_ORDERS[1] / step));
  for (let k = Math.ceil(STRAY_ORDERS[0] / step); k <= last; k++) {
    if (db[k]! <= height || db[k]! < db[k - 1]! || db[k]! < db[k + 1]!) continue;
    const order = k * step;
    if (known.some((k) => explains(k, order))) continue;
    best = order;
    height = db[k]!;
  }
  // On average over all spectra the line must stand at least 3 dB above its surroundings.
  return best !== null && height > 3 * spectra.length ** 0.5 * 2 ? best : null;
}

function explains(lines: ReturnType<typeof familyLines>, order: number): boolean {
  if (lines.known.some((o) => Math.abs(o - order) < APART)) return true;
  for (const mesh of [lines.meshFront, lines.meshRear]) {
    for (const centre of mesh.slice(0, 2)) {
      const away = Math.abs(order - centre);
      if (away < SIDEBAND_REACH + APART && Math.abs(away - Math.round(away)) < APART) return true;
    }
    const ratio = mesh.length > 0 ? mesh[mesh.length - 1]! - mesh[0]! : 0;
    if (ratio > 0) {
      const away = Math.abs(order - mesh[0]!) / ratio;
      if (away < 3.1 && Math.abs(away - Math.round(away)) * ratio < APART) return true;
    }
  }
  // Low multiples of the shafts themselves; higher ones are gears.
  return lines.shafts.some((shaft) => {
    const multiple = order / shaft;
    return multiple < 10.5 && Math.abs(multiple - Math.round(multiple)) * shaft < APART;
  });
}
