import type { RunningGear } from '../driveline/runningGear.ts';
import { powerLevelDb } from '../dsp/levels.ts';
import { channelAnswer } from './answers.ts';
import { APART, familyLines, wheelBearingRates } from './family-lines.ts';
import { CARRIER_BANDS_HZ } from './front-end.ts';
import { linePower, type PowerOverOrder } from './lines.ts';
import type { ChannelMeasure } from './measure-run.ts';
import type { FamilyFeatures, Observation } from './observation.ts';
import { jointProminence } from './spectrum-noise.ts';
import type { TravelBand } from './travel.ts';

export type DefectChoice = {
  readonly kind: 'envelope';
  readonly family: 'wheelBearingDefect' | 'otherDefect';
  /** Which race or element, when the geometry is known. */
  readonly part: 'outer' | 'inner' | 'element' | 'cage' | null;
  /** Rate found, in turns of a wheel. */
  readonly order: number;
  readonly band_Hz: readonly [number, number];
};

/** Rolling elements slide: real rates lie up to this share beside the computed ones (Randall & Antoni 2011). */
const SLIP = 0.02;
const HARMONICS = 3;
const SEEN = 2;
const SEEN_ANYWHERE = 4;
/** Where bearings of hubs, propshafts and gearboxes strike, in turns of a wheel. */
const STRIKE_ORDERS = [1.5, 24] as const;
const CARRIER_TRAVEL: readonly TravelBand[] = ['mid', 'high', 'high', 'top'];

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
  if (known.length > 0) {
    let best: { score: number; order: number; c: number; part: DefectChoice['part'] } | null = null;
    bands.forEach(({ joint }, c) => {
      if (!joint) return;
      for (const { name, order } of known) {
        const peak = highest(joint, order * (1 - SLIP), order * (1 + SLIP));
        if (!peak) continue;
        const score = harmonicScore(joint, peak.order);
        if (!best || score > best.score) best = { score, order: peak.order, c, part: name };
      }
    });
    if (best) found.push(envelopeFamily('wheelBearingDefect', channels, best, SEEN));
  }
  const elsewhere = strayStrike(vehicle, channels, bands, known);
  if (elsewhere) found.push(envelopeFamily('otherDefect', channels, elsewhere, SEEN_ANYWHERE));
  return found;
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

/** The strongest impact rate that no turning shaft explains. */
function strayStrike(
  vehicle: RunningGear,
  channels: readonly ChannelMeasure[],
  bands: readonly { joint: Joint | null }[],
  wheelBearing: readonly { order: number }[],
): { order: number; c: number; part: null } | null {
  const ratios = new Set(channels.flatMap((c) => c.stretches.map((s) => s.stretch.gearRatio)));
  const lines = [...ratios].map((r) => familyLines(vehicle, r));
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
  seen: number,
): { features: FamilyFeatures; choice: DefectChoice } {
  const { order, c, part } = choice;
  const strike = (
    channel: ChannelMeasure,
    i: number,
  ): { line: number; noise: number; carrier: number } | null => {
    const envelope = channel.stretches[i]!.envelopes[c];
    if (!envelope) return null;
    let line = 0;
    let noise = 0;
    for (let h = 1; h <= HARMONICS; h++) {
      const power = linePower(envelope.orders, h * order, 0);
      if (!power) continue;
      if (power.line > (seen - 1) * power.noiseInLine) line += power.line;
      if (h === 1) noise = power.noiseInLine;
    }
    return noise > 0 ? { line, noise, carrier: envelope.carrier } : null;
  };
  // A sine of mean square p in a squared envelope has amplitude √(2p): that much power swings to and fro.
  const swinging_db = (p: number): number => 0.5 * powerLevelDb(2 * p, 1e-24);
  const observations = channels.flatMap((channel): Observation[] => {
    let line = 0;
    let noise = 0;
    let carrier = 0;
    let seconds = 0;
    channel.stretches.forEach((s, i) => {
      const found = strike(channel, i);
      if (!found) return;
      const t = s.stretch.to_s - s.stretch.from_s;
      line += found.line * t;
      noise += found.noise * t;
      carrier += found.carrier * t;
      seconds += t;
    });
    if (!(noise > 0)) return [];
    return [
      {
        run: channel.run,
        channel: channel.channel,
        position: channel.position,
        level_db: line > 0.5 * seen * noise ? swinging_db(line / seconds) : null,
        sd_db: 1,
        limit_db: swinging_db((seen * noise) / seconds),
        against_db: powerLevelDb(carrier / seconds, 1e-12),
      },
    ];
  });
  const answers = channels.flatMap(
    (channel) =>
      channelAnswer(channel, (i) => {
        const found = strike(channel, i);
        return found && swinging_db(found.line + found.noise);
      }) ?? [],
  );
  return {
    features: { id: family, band: CARRIER_TRAVEL[c]!, observations, answers },
    choice: { kind: 'envelope', family, part, order, band_Hz: CARRIER_BANDS_HZ[c]! },
  };
}
