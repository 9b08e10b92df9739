import type { Position } from '../driveline/words.ts';
import { median } from '../dsp/levels.ts';
import { type OrderFrames, orderFrames } from '../dsp/order-spectrum.ts';
import { resampleToAngle } from '../dsp/order-track.ts';
import { isLeftOut } from './channels.ts';
import { CARRIER_BANDS_HZ, type ChannelDigest, LEVEL_BANDS } from './front-end.ts';
import { type PowerOverOrder, stretchSpectrum } from './lines.ts';
import type { DigestedChannel, RunDigest } from './run-digest.ts';
import type { RunSpeed } from './speed.ts';
import type { Stretch } from './stretches.ts';

/** What one pickup gave in one stretch. Powers are mean squares in (m/s²)², or of full scale squared. */
export type StretchMeasure = {
  readonly stretch: Stretch;
  /** Mean power of each quarter-octave band. */
  readonly bands: Float64Array;
  /** Spectrum over turns of a wheel; null without speed. */
  readonly orders: PowerOverOrder | null;
  /** For each carrier band the spectrum of its squared envelope over turns of a wheel, and the carrier's power. */
  readonly envelopes: readonly ({ readonly orders: PowerOverOrder; readonly carrier: number } | null)[];
};

export type ChannelMeasure = {
  readonly run: number;
  readonly channel: number;
  readonly position: Position;
  readonly stretches: readonly StretchMeasure[];
};

/** Turns of a wheel per block: short enough for a speed known to a part in a thousand at order 40. */
const TURNS_PER_BLOCK = 16;
const SAMPLES_PER_TURN = 384;
const ENVELOPE_SAMPLES_PER_TURN = 72;
const BUMP = 6;

/** Measures every sound channel of a run in every stretch. */
export function measureRun(
  run: number,
  digest: RunDigest,
  speed: RunSpeed,
  stretches: readonly Stretch[],
): ChannelMeasure[] {
  return digest.channels
    .filter((c) => !isLeftOut(c.faults))
    .map((c) => ({
      run,
      channel: c.channel,
      position: c.position,
      stretches: measureChannel(c, speed, stretches),
    }));
}

function measureChannel(
  channel: DigestedChannel,
  speed: RunSpeed,
  stretches: readonly Stretch[],
): StretchMeasure[] {
  const { digest } = channel;
  const gain = (channel.fullScale_m_s2 ?? 1) ** 2;
  const orders = angleFrames(digest.low, digest.plan.orderRate_Hz, speed, SAMPLES_PER_TURN);
  const envelopes = digest.envelopes.map(
    (e) => e && angleFrames(e, digest.plan.envelopeRate_Hz, speed, ENVELOPE_SAMPLES_PER_TURN),
  );
  return stretches.map((stretch) => ({
    stretch,
    bands: bandPowers(digest, stretch, gain),
    orders: scaled(orders && stretchSpectrum(orders, stretch), gain),
    envelopes: CARRIER_BANDS_HZ.map((_, c) => {
      const frames = envelopes[c];
      const spectrum = frames && scaled(stretchSpectrum(frames, stretch), gain * gain);
      return spectrum ? { orders: spectrum, carrier: Math.sqrt(spectrum.power[0]!) } : null;
    }),
  }));
}

function angleFrames(
  signal: Float32Array,
  rate_Hz: number,
  speed: RunSpeed,
  samplesPerTurn: number,
): OrderFrames | null {
  if (!speed.motion || signal.length < 2) return null;
  const angle = resampleToAngle(signal, rate_Hz, speed.motion, samplesPerTurn);
  if (!angle || angle.samples.length < TURNS_PER_BLOCK * samplesPerTurn) return null;
  return orderFrames(angle, TURNS_PER_BLOCK);
}

function scaled(spectrum: PowerOverOrder | null, gain: number): PowerOverOrder | null {
  return spectrum && { ...spectrum, power: spectrum.power.map((p) => p * gain) };
}

function bandPowers(digest: ChannelDigest, stretch: Stretch, gain: number): Float64Array {
  const { hop, sampleRate_Hz } = digest.plan;
  const blocks: number[] = [];
  for (let b = 0; b < digest.blocks; b++) {
    const t = (b * hop) / sampleRate_Hz;
    if (t >= stretch.from_s + hop / sampleRate_Hz && t <= stretch.to_s - hop / sampleRate_Hz) blocks.push(b);
  }
  if (blocks.length === 0) {
    const middle = Math.round((0.5 * (stretch.from_s + stretch.to_s) * sampleRate_Hz) / hop);
    blocks.push(Math.min(digest.blocks - 1, middle));
  }
  const out = new Float64Array(LEVEL_BANDS);
  // Without its bumps, band by band: a stone excites high bands, a pothole low ones.
  for (let k = 0; k < LEVEL_BANDS; k++) {
    const powers = blocks.map((b) => digest.bandPower[b * LEVEL_BANDS + k]!);
    if (!(powers[0]! >= 0)) {
      out[k] = Number.NaN;
      continue;
    }
    const limit = BUMP * median(powers);
    let sum = 0;
    let count = 0;
    for (const p of powers) {
      if (p <= limit) {
        sum += p;
        count++;
      }
    }
    out[k] = count > 0 ? (gain * sum) / count : 0;
  }
  return out;
}
