import type { RunningGear } from '../driveline/runningGear.ts';
import type { DrivingState } from '../driveline/words.ts';
import { median, powerLevelDb } from '../dsp/levels.ts';
import { channelAnswer } from './answers.ts';
import { APART, type FamilyLines, familyLines, ORDER_FAMILIES } from './family-lines.ts';
import { type LinePower, linePower, type PowerOverOrder } from './lines.ts';
import type { ChannelMeasure } from './measure-run.ts';
import type { FamilyFeatures, FamilyId, Observation } from './observation.ts';
import type { ShaftTurns } from './shaft-turns.ts';
import { noiseCurve } from './spectrum-noise.ts';
import type { SpeedGrade } from './speed.ts';
import type { TravelBand } from './travel.ts';

export type OrderChoice = {
  readonly kind: 'orders';
  readonly family: FamilyId;
  /** Strongest line, in turns of a wheel. */
  readonly order: number;
};

/** Power over the noise within the line's width from which a line counts as seen. */
const SEEN = 2;
/** Relative half width of the search for a line with a sharp speed, and with readings as they come. */
const SHARP = 0.002;
const BLUNT = 0.03;
/** How far the place of a line differs from run to run, and with readings as they come from segment to segment. */
const WANDER: Record<SpeedGrade, number> = { sharp: 0, steady: 0.004, rough: 0.01 };
/** A line searched for all over the spectrum must stand out more: some bin always does by chance. */
const SEEN_ANYWHERE = 4;

const BAND_OF: Partial<Record<FamilyId, TravelBand>> = {
  wheelTurning: 'low',
  wheelMultiples: 'low',
  treadLines: 'mid',
  propTurning: 'low',
  engineFiring: 'low',
  engineUneven: 'low',
};

/** Order families with known lines, and the strongest line that no known part explains. */
export function orderFamilies(
  vehicle: RunningGear,
  channels: readonly ChannelMeasure[],
): { features: FamilyFeatures; choice: OrderChoice }[] {
  const linesFor = new Map<string, FamilyLines>();
  const lines = (shafts: ShaftTurns, error: number): FamilyLines => {
    const key = `${shafts.crank} ${shafts.propshaft} ${error}`;
    let known = linesFor.get(key);
    if (!known) linesFor.set(key, (known = familyLines(vehicle, shafts, error)));
    return known;
  };
  const families = ORDER_FAMILIES.map((id) =>
    lineFamily(id, channels, (shafts, error) => lines(shafts, error)[id], SEEN),
  );
  const stray = strayLine(channels, lines);
  if (stray) {
    const ordersFor = ({ crank }: ShaftTurns): number[] => {
      const turns = stray.shaft === 'wheel' ? 1 : crank;
      return turns === null ? [] : [stray.order * turns, 2 * stray.order * turns];
    };
    families.push(lineFamily('otherLines', channels, ordersFor, SEEN_ANYWHERE));
  }
  return families;
}

type Measured = {
  readonly channel: ChannelMeasure;
  readonly perStretch: readonly (readonly LinePower[] | null)[];
};

function lineFamily(
  id: FamilyId,
  channels: readonly ChannelMeasure[],
  ordersFor: (shafts: ShaftTurns, error: number) => readonly number[],
  seenWhenSharp: number,
): { features: FamilyFeatures; choice: OrderChoice } {
  const measured: Measured[] = channels.map((channel) => ({
    channel,
    perStretch: channel.stretches.map(({ orders, stretch }) => {
      const wanted = ordersFor(stretch.shafts, channel.grade === 'sharp' ? SHARP : BLUNT);
      if (!orders || wanted.length === 0) return null;
      const found = wanted.map((o) => {
        if (Number.isNaN(o)) return null;
        if (channel.grade === 'sharp') return linePower(orders, o, SHARP * o);
        // This one was found in the runs' own orders: only their differences count.
        if (id === 'otherLines') return linePower(orders, o, WANDER[channel.grade] * o);
        // Lines one apart must not be taken for each other.
        return id === 'treadLines' || (id === 'wheelMultiples' && o > 4)
          ? null
          : linePower(orders, o, BLUNT * o);
      });
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
  const seenAt = (channel: ChannelMeasure): number =>
    channel.grade === 'rough' ? SEEN_ANYWHERE : seenWhenSharp;
  const weigh = (s: readonly LinePower[], seen: number): { line: number; inLine: number; third: number } => {
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
  const loudest = loudestStates(usable, (s, channel) => weigh(s, seenAt(channel)));
  const observations = usable.flatMap(({ channel, perStretch }): Observation[] => {
    let line = 0;
    let inLine = 0;
    let third = 0;
    let seconds = 0;
    perStretch.forEach((s, i) => {
      const { from_s, to_s, state } = channel.stretches[i]!.stretch;
      if (!s || (GEARS.has(id) && state !== loudest.get(channel.run))) return;
      const w = weigh(s, seenAt(channel));
      line += w.line * (to_s - from_s);
      inLine += w.inLine * (to_s - from_s);
      third += w.third * (to_s - from_s);
      seconds += to_s - from_s;
    });
    if (!(inLine > 0)) return [];
    const seen = seenAt(channel);
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
        const w = weigh(s, seenAt(channel));
        return w.inLine > 0 ? powerLevelDb(w.line + w.inLine, 1) : null;
      }) ?? [],
  );
  return {
    features: { id, band: BAND_OF[id] ?? 'mid', observations, answers },
    choice: { kind: 'orders', family: id, order: strongestOrder(usable, noise) },
  };
}

/** Families of gears, whose flanks are loaded one by one. */
const GEARS: ReadonlySet<FamilyId> = new Set(['meshFront', 'meshRear', 'otherLines']);

/**
 * For each run the driving state in which the lines stand out most over all its pickups: a worn coast flank is
 * silent under power. One state for all pickups keeps them comparable.
 */
function loudestStates(
  measured: readonly Measured[],
  weigh: (s: readonly LinePower[], channel: ChannelMeasure) => { line: number; third: number },
): Map<number, DrivingState | null> {
  const sums = new Map<number, Map<DrivingState | null, { prominence: number; count: number }>>();
  for (const { channel, perStretch } of measured) {
    const states = sums.get(channel.run) ?? new Map();
    sums.set(channel.run, states);
    perStretch.forEach((s, i) => {
      if (!s) return;
      const { line, third } = weigh(s, channel);
      const { state } = channel.stretches[i]!.stretch;
      const sum = states.get(state) ?? { prominence: 0, count: 0 };
      states.set(state, { prominence: sum.prominence + line / third, count: sum.count + 1 });
    });
  }
  return new Map(
    [...sums].map(([run, states]) => {
      const ranked = [...states].sort((a, b) => b[1].prominence / b[1].count - a[1].prominence / a[1].count);
      return [run, ranked[0]?.[0] ?? null];
    }),
  );
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
const STRAY_ORDERS = [6, 145] as const;
/** Sidebands of a known mesh reach this many turns of its gears. */
const SIDEBAND_REACH = 6;

/**
 * The order, outside all that known parts make, that stands out most over all pickups; null when none does. Gears
 * on the engine's side of the gearbox keep their place against the crankshaft, all others against the wheels.
 */
function strayLine(
  channels: readonly ChannelMeasure[],
  lines: (shafts: ShaftTurns, error: number) => FamilyLines,
): { shaft: 'wheel' | 'crank'; order: number } | null {
  const measured: {
    spectrum: PowerOverOrder;
    known: FamilyLines;
    crank: number | null;
    error: number;
    wander: number;
  }[] = [];
  for (const { stretches, grade } of channels) {
    for (const { orders, stretch } of stretches) {
      if (orders) {
        const error = grade === 'sharp' ? SHARP : BLUNT;
        const known = lines(stretch.shafts, error);
        const { crank } = stretch.shafts;
        measured.push({ spectrum: orders, known, crank, error, wander: WANDER[grade] });
      }
    }
  }
  if (measured.length === 0) return null;
  const { step } = measured[0]!.spectrum;
  const prominent = measured.map(({ spectrum, known, crank, error, wander }) => ({
    db: widened(unexplained(spectrum, known, error), wander),
    crank,
  }));
  const last = Math.min(prominent[0]!.db.length - 2, Math.floor(STRAY_ORDERS[1] / step));
  const wheel = new Float64Array(last + 1);
  for (const { db } of prominent) for (let k = 0; k <= last; k++) wheel[k] = wheel[k]! + db[k]!;
  let best = { shaft: 'wheel' as 'wheel' | 'crank', order: 0, height: 0 };
  for (let k = Math.ceil(STRAY_ORDERS[0] / step); k <= last; k++) {
    if (wheel[k]! > best.height) best = { shaft: 'wheel', order: k * step, height: wheel[k]! };
  }
  const cranks = new Set(prominent.map((p) => p.crank));
  if (cranks.size > 1 && !cranks.has(null)) {
    const least = Math.min(...(cranks as Set<number>));
    for (let order = STRAY_ORDERS[0] / least; order * least * step <= last * step; order += step / least) {
      let height = 0;
      for (const { db, crank } of prominent) {
        const k = Math.round((order * crank!) / step);
        if (k <= last) height += Math.max(db[k]!, db[k - 1]!, db[k + 1]!);
      }
      // Looking at three bins at once finds more by chance; a line of the crankshaft's must clearly be one.
      if (height > 1.2 * best.height) best = { shaft: 'crank', order, height };
    }
  }
  // On average over all spectra the line must stand out by more than chance leaves of the highest of many bins.
  return best.height > LEAST_STRAY_DB * Math.sqrt(measured.length) ? best : null;
}

const LEAST_STRAY_DB = 6;

/** Prominence in dB of every bin that no known part explains; 0 elsewhere. */
function unexplained(spectrum: PowerOverOrder, known: FamilyLines, error: number): Float64Array {
  const noise = noiseCurve(spectrum);
  const first = Math.ceil(STRAY_ORDERS[0] / spectrum.step);
  return spectrum.power.map((power, k) => {
    const ratio = power / noise[k]!;
    if (k < first || !(ratio > 2) || explains(known, k * spectrum.step, error)) return 0;
    return 10 * Math.log10(ratio);
  });
}

/** Each bin's highest value within the wander of its place. */
function widened(db: Float64Array, wander: number): Float64Array {
  if (wander === 0) return db;
  return db.map((_, k) => {
    const reach = Math.round(wander * k);
    let highest = 0;
    for (let i = Math.max(0, k - reach); i <= Math.min(db.length - 1, k + reach); i++) {
      highest = Math.max(highest, db[i]!);
    }
    return highest;
  });
}

/** @param error relative error of the speed */
function explains(lines: FamilyLines, order: number, error: number): boolean {
  const near = (other: number): boolean => Math.abs(other - order) < APART + error * order;
  if (lines.known.some(near)) return true;
  for (const mesh of [lines.meshFront, lines.meshRear]) {
    for (const centre of mesh.slice(0, 2)) {
      const away = Math.round(order - centre);
      if (Math.abs(away) <= SIDEBAND_REACH && near(centre + away)) return true;
    }
    const ratio = mesh.length > 0 ? mesh[mesh.length - 1]! - mesh[0]! : 0;
    if (ratio > 0) {
      const away = Math.round((order - mesh[0]!) / ratio);
      if (Math.abs(away) <= 3 && near(mesh[0]! + away * ratio)) return true;
    }
  }
  if (lines.treadLines.some((o) => Math.abs(o - order) < 0.5 * APART + error * order)) return true;
  // Low multiples of the shafts themselves; higher ones are gears.
  return lines.shafts.some((shaft) => {
    const multiple = Math.round(order / shaft);
    return multiple >= 1 && multiple <= 10 && near(multiple * shaft);
  });
}
