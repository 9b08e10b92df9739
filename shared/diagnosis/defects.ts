import type { RunningGear } from '../driveline/runningGear.ts';
import { powerLevelDb } from '../dsp/levels.ts';
import { channelAnswer } from './answers.ts';
import { APART, familyLines, wheelBearingRates } from './family-lines.ts';
import { CARRIER_BANDS_HZ } from './front-end.ts';
import { linePower, type PowerOverOrder, pooled, seenRatio } from './lines.ts';
import type { ChannelMeasure } from './measure-run.ts';
import type { FamilyFeatures, Observation } from './observation.ts';
import { distinctTurns, type ShaftTurns } from './shaft-turns.ts';
import { jointProminence } from './spectrum-noise.ts';
import type { TravelBand } from './travel.ts';

export type DefectChoice = {
  readonly kind: 'envelope';
  readonly family:
    | 'wheelBearingDefect'
    | 'otherDefect'
    | 'wheelModulation'
    | 'propModulation'
    | 'engineModulation';
  /** Which race or element, when the geometry is known. */
  readonly part: 'outer' | 'inner' | 'element' | 'cage' | null;
  /** Rate found, in turns of a wheel. */
  readonly order: number;
  readonly band_Hz: readonly [number, number];
};

/** Rolling elements slide: real rates lie up to this share beside the computed ones (Randall & Antoni 2011). */
const SLIP = 0.02;
/** Speed readings without refinement add their own error. */
const BLUNT_SPEED = 0.025;
const HARMONICS = 3;
const SEEN = 2;
/** A rate searched for all over the spectrum must stand out more: some bin always does by chance. */
const SEEN_ANYWHERE = 3;
/** Where bearings of hubs, propshafts and gearboxes strike, in turns of a wheel. */
const STRIKE_ORDERS = [1.5, 24] as const;
const CARRIER_TRAVEL: readonly TravelBand[] = ['high', 'high', 'top'];

/** Squared-envelope families: impacts at the wheel bearings' rates, and at any other rate that stands out most. */
export function defectFamilies(
  vehicle: RunningGear,
  channels: readonly ChannelMeasure[],
): { features: FamilyFeatures; choice: DefectChoice }[] {
  const bands = CARRIER_BANDS_HZ.map((_, c) => {
    const spectra: PowerOverOrder[] = [];
    for (const { stretches } of channels) {
      for (const s of stretches) if (s.envelopes[c]) spectra.push(s.envelopes[c].orders);
    }
    return { spectra, joint: jointProminence(spectra) };
  });
  const found: { features: FamilyFeatures; choice: DefectChoice }[] = [];
  const known = wheelBearingRates(vehicle);
  const reach = SLIP + (channels.every((c) => c.grade === 'sharp') ? 0 : BLUNT_SPEED);
  if (known.length > 0) {
    let best: { score: number; order: number; c: number; part: DefectChoice['part'] } | null = null;
    bands.forEach(({ joint }, c) => {
      if (!joint) return;
      for (const { name, order } of known) {
        const peak = highest(joint, order * (1 - reach), order * (1 + reach));
        if (!peak) continue;
        const score = harmonicScore(joint, peak.order);
        if (!best || score > best.score) best = { score, order: peak.order, c, part: name };
      }
    });
    if (best) found.push(envelopeFamily('wheelBearingDefect', channels, best, false));
  }
  const elsewhere = strayStrike(vehicle, channels, bands, known);
  if (elsewhere) found.push(envelopeFamily('otherDefect', channels, elsewhere, true));
  found.push(...modulationFamilies(vehicle, channels));
  return found;
}

/**
 * Noise that swells and fades once or twice per turn of a shaft comes from something that turns with that shaft,
 * whether or not its own rates are known.
 */
function modulationFamilies(
  vehicle: RunningGear,
  channels: readonly ChannelMeasure[],
): { features: FamilyFeatures; choice: DefectChoice }[] {
  const cylinders = vehicle.engine?.cylinders ?? null;
  const swells = ({ crank, propshaft }: ShaftTurns) => {
    const clear = (orders: number[]) =>
      orders.filter((o) => Math.abs(o - Math.round(o)) > ENVELOPE_APART || Math.round(o) > 3);
    return {
      wheelModulation: [1, 2],
      propModulation: propshaft === null ? [] : clear([propshaft, 2 * propshaft]),
      engineModulation:
        crank === null
          ? []
          : clear([0.5, 1, ...(cylinders === null ? [] : [cylinders / 2])].map((o) => o * crank)),
    };
  };
  return (['wheelModulation', 'propModulation', 'engineModulation'] as const).flatMap((family) => {
    const ordersFor = (shafts: ShaftTurns) => swells(shafts)[family];
    const c = clearestCarrier(channels, ordersFor);
    const order = turnsIn(channels).flatMap(ordersFor)[0];
    if (c === null || order === undefined) return [];
    return [envelopeFamily(family, channels, { order, c, part: null }, false, ordersFor)];
  });
}

const turnsIn = (channels: readonly ChannelMeasure[]): ShaftTurns[] =>
  distinctTurns(channels.flatMap((c) => c.stretches.map((s) => s.stretch.shafts)));

/** Lines of an envelope spectrum nearer than this, in orders, run together. */
const ENVELOPE_APART = 0.08;

/** The carrier band in which the lines stand out most over all pickups; null when none was measured. */
function clearestCarrier(
  channels: readonly ChannelMeasure[],
  ordersFor: (shafts: ShaftTurns) => readonly number[],
): number | null {
  let best: { c: number; score: number } | null = null;
  for (let c = 0; c < CARRIER_BANDS_HZ.length; c++) {
    let score = 0;
    let measured = false;
    for (const { stretches } of channels) {
      for (const { envelopes, stretch } of stretches) {
        const envelope = envelopes[c];
        if (!envelope) continue;
        measured = true;
        for (const order of ordersFor(stretch.shafts)) {
          const power = linePower(envelope.orders, order, 0);
          if (power && power.line > power.noiseInLine) score += Math.log(power.line / power.noiseInLine);
        }
      }
    }
    if (measured && (!best || score > best.score)) best = { c, score };
  }
  return best?.c ?? null;
}

type Joint = { readonly step: number; readonly db: Float64Array };

function highest(joint: Joint, from: number, to: number): { order: number; db: number } | null {
  const { step, db } = joint;
  let best: { order: number; db: number } | null = null;
  for (
    let k = Math.max(1, Math.floor(from / step));
    k <= Math.min(db.length - 1, Math.ceil(to / step));
    k++
  ) {
    if (!best || db[k]! > best.db) best = { order: k * step, db: db[k]! };
  }
  return best;
}

function harmonicScore(joint: Joint, order: number): number {
  let score = 0;
  for (let h = 1; h <= HARMONICS; h++) {
    const peak = highest(joint, h * order - joint.step, h * order + joint.step);
    if (peak) score += peak.db / h;
  }
  return score;
}

const harmonicsOf = (order: number): number[] => Array.from({ length: HARMONICS }, (_, h) => (h + 1) * order);

/** The strongest impact rate that no turning shaft explains. */
function strayStrike(
  vehicle: RunningGear,
  channels: readonly ChannelMeasure[],
  bands: readonly { joint: Joint | null }[],
  wheelBearing: readonly { order: number }[],
): { order: number; c: number; part: null } | null {
  const lines = turnsIn(channels).map((shafts) => familyLines(vehicle, shafts));
  const explained = (order: number): boolean =>
    Math.abs(order - Math.round(order)) < APART ||
    lines.some((l) =>
      l.shafts.some((shaft) => {
        const multiple = order / shaft;
        return multiple < 8.5 && Math.abs(multiple - Math.round(multiple)) * shaft < APART;
      }),
    ) ||
    wheelBearing.some(({ order: rate }) => {
      const multiple = Math.max(1, Math.round(order / rate));
      const away = Math.abs(order - multiple * rate);
      // The wheel turning through its load zone puts lines one turn beside a rate.
      return away < SLIP * order + APART || Math.abs(away - 1) < SLIP * order + APART;
    });
  let best: { score: number; order: number; c: number; part: null } | null = null;
  bands.forEach(({ joint }, c) => {
    if (!joint) return;
    for (let k = Math.ceil(STRIKE_ORDERS[0] / joint.step); k * joint.step <= STRIKE_ORDERS[1]; k++) {
      const order = k * joint.step;
      if (k + 1 >= joint.db.length || joint.db[k]! < joint.db[k - 1]! || joint.db[k]! < joint.db[k + 1]!)
        continue;
      if (explained(order)) continue;
      const score = harmonicScore(joint, order);
      if (!best || score > best.score) best = { score, order, c, part: null };
    }
  });
  return best;
}

function envelopeFamily(
  family: DefectChoice['family'],
  channels: readonly ChannelMeasure[],
  choice: { order: number; c: number; part: DefectChoice['part'] },
  anywhere: boolean,
  ordersFor: (shafts: ShaftTurns) => readonly number[] = () => harmonicsOf(choice.order),
): { features: FamilyFeatures; choice: DefectChoice } {
  const { order, c, part } = choice;
  const lines = (
    spectrum: PowerOverOrder,
    orders: readonly number[],
    seen: number,
  ): { line: number; noise: number } => {
    let line = 0;
    let noise = 0;
    for (const o of orders) {
      const power = linePower(spectrum, o, 0);
      if (!power) continue;
      if (power.line > (seen - 1) * power.noiseInLine) line += power.line;
      noise = Math.max(noise, power.noiseInLine);
    }
    return { line, noise };
  };
  // A sine of mean square p in a squared envelope has amplitude √(2p): that much power swings to and fro.
  const swinging_db = (p: number): number => 0.5 * powerLevelDb(2 * p, 1e-24);
  const observations = channels.flatMap((channel): Observation[] => {
    // Stretches with the same lines are pooled: the longer the averaging, the fainter a line can be seen.
    const alike = new Map<string, number[]>();
    channel.stretches.forEach((s, i) => {
      const key = ordersFor(s.stretch.shafts).join();
      if (s.envelopes[c]) alike.set(key, [...(alike.get(key) ?? []), i]);
    });
    let line = 0;
    let limit = 0;
    let carrier = 0;
    let blocks = 0;
    for (const indices of alike.values()) {
      const spectrum = pooled(indices.map((i) => channel.stretches[i]!.envelopes[c]!.orders))!;
      const seen = Math.max(anywhere ? SEEN_ANYWHERE : 1, seenRatio(spectrum.blocks));
      const found = lines(spectrum, ordersFor(channel.stretches[indices[0]!]!.stretch.shafts), seen);
      line += found.line * spectrum.blocks;
      limit += seen * found.noise * spectrum.blocks;
      carrier += Math.sqrt(spectrum.power[0]!) * spectrum.blocks;
      blocks += spectrum.blocks;
    }
    if (!(limit > 0)) return [];
    return [
      {
        run: channel.run,
        channel: channel.channel,
        position: channel.position,
        level_db: line > 0.5 * limit ? swinging_db(line / blocks) : null,
        sd_db: 1,
        limit_db: swinging_db(limit / blocks),
        against_db: powerLevelDb(carrier / blocks, 1e-12),
      },
    ];
  });
  const answers = channels.flatMap(
    (channel) =>
      channelAnswer(channel, (i) => {
        const { envelopes, stretch } = channel.stretches[i]!;
        const envelope = envelopes[c];
        if (!envelope) return null;
        const { line, noise } = lines(envelope.orders, ordersFor(stretch.shafts), SEEN);
        return noise > 0 ? swinging_db(line + noise) : null;
      }) ?? [],
  );
  return {
    features: { id: family, band: CARRIER_TRAVEL[c]!, observations, answers },
    choice: { kind: 'envelope', family, part, order, band_Hz: CARRIER_BANDS_HZ[c]! },
  };
}
