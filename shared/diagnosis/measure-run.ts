import type { Position } from '../driveline/words.ts';
import { median } from '../dsp/levels.ts';
import { orderFrames } from '../dsp/order-spectrum.ts';
import type { AngleSignal } from '../dsp/order-track.ts';
import { AngleGrid } from './angle-grid.ts';
import { isLeftOut } from './channel-faults.ts';
import { CARRIER_BANDS_HZ, type ChannelDigest, LEVEL_BANDS } from './front-end.ts';
import { type PowerOverOrder, stretchSpectrum } from './lines.ts';
import type { DigestedChannel, RunDigest } from './run-digest.ts';
import type { RunSpeed, SpeedGrade } from './speed.ts';
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
  readonly grade: SpeedGrade;
  readonly stretches: readonly StretchMeasure[];
};

/** Turns of a wheel per block: short enough for a speed known to a part in a thousand at order 40. */
const TURNS_PER_BLOCK = 16;
const SAMPLES_PER_TURN = 384;
/** Impacts repeat at low orders: longer blocks part the cage's rate from the wheel's and from slow swelling. */
const ENVELOPE_TURNS_PER_BLOCK = 32;
const ENVELOPE_SAMPLES_PER_TURN = 56;
const BUMP = 6;

/** Measures every sound channel of a run in every stretch. `loadSingleFft()` must have been awaited. */
export function measureRun(
  run: number,
  digest: RunDigest,
  speed: RunSpeed,
  stretches: readonly Stretch[],
): ChannelMeasure[] {
  const channels = digest.channels.filter((c) => !isLeftOut(c.faults));
  const plan = channels[0]?.digest.plan;
  if (!plan) return [];
  const grid = (rate_Hz: number, samplesPerTurn: number, turns: number): AngleGrid | null =>
    speed.motion && AngleGrid.of(speed.motion, digest.seconds, rate_Hz, samplesPerTurn, turns);
  const orders = read(
    grid(plan.orderRate_Hz, SAMPLES_PER_TURN, TURNS_PER_BLOCK),
    channels.map((c) => c.digest.low),
  );
  const envelopeGrid = grid(plan.envelopeRate_Hz, ENVELOPE_SAMPLES_PER_TURN, ENVELOPE_TURNS_PER_BLOCK);
  const envelopes = CARRIER_BANDS_HZ.map((_, band) =>
    read(
      envelopeGrid,
      channels.map((c) => c.digest.envelopes[band] ?? null),
    ),
  );
  return channels.map((c, i) => ({
    run,
    channel: c.channel,
    position: c.position,
    grade: speed.grade,
    stretches: measureChannel(
      c,
      orders?.[i] ?? null,
      envelopes.map((e) => e?.[i] ?? null),
      stretches,
    ),
  }));
}

/** Null without speed, or where the recording's rate is too low for the signals: that is so on all channels alike. */
function read(grid: AngleGrid | null, signals: readonly (Float32Array | null)[]): AngleSignal[] | null {
  const there = signals.filter((s) => s !== null);
  return grid && there.length === signals.length ? grid.read(there) : null;
}

function measureChannel(
  channel: DigestedChannel,
  orderSignal: AngleSignal | null,
  envelopeSignals: readonly (AngleSignal | null)[],
  stretches: readonly Stretch[],
): StretchMeasure[] {
  const { digest } = channel;
  const gain = (channel.fullScale_m_s2 ?? 1) ** 2;
  const orders = orderSignal && orderFrames(orderSignal, TURNS_PER_BLOCK, 'single');
  const envelopes = envelopeSignals.map((e) => e && orderFrames(e, ENVELOPE_TURNS_PER_BLOCK, 'single'));
  return stretches.map((stretch) => ({
    stretch,
    bands: bandPowers(digest, stretch, gain),
    orders: scaled(orders && stretchSpectrum(orders, stretch), gain),
    envelopes: envelopes.map((frames) => {
      const spectrum = frames && scaled(stretchSpectrum(frames, stretch), gain * gain);
      return spectrum ? { orders: spectrum, carrier: Math.sqrt(spectrum.power[0]!) } : null;
    }),
  }));
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
