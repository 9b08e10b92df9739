import { openWav } from '../../native/wav/wav-reader.ts';
import { orderFrames } from '../../shared/dsp/order-spectrum.ts';
import { resampleToAngle } from '../../shared/dsp/order-track.ts';
import { WelchAverager } from '../../shared/dsp/spectrum.ts';
import { motionFromSpeed } from '../../shared/dsp/speed-motion.ts';
import { DecimatedChannels } from '../live/decimated-channels.ts';
import type { Progress } from './tasks.ts';

/** About 3 Hz between bins at 48 kHz: parts neighbouring gear sidebands on the road. */
const SEGMENT = 16_384;
const HIGHEST_DRAWN_HZ = 5000;
const CHUNK_FRAMES = 16_384;
const SAMPLES_PER_TURN = 512;
const HIGHEST_DRAWN_ORDER = 100;
const TURNS_PER_BLOCK = 16;
/** Below walking pace orders mean nothing, and the motion must turn. */
const LOWEST_RATE_HZ = 1;

export interface RunSpectrumInput {
  readonly path: string;
  /** Place of the channel in the file, from 0. */
  readonly channelIndex: number;
  readonly from_s: number;
  readonly to_s: number;
  /** Turning rate of the wheels over the run, or null when it is not known. */
  readonly wheel: { readonly t_s: readonly number[]; readonly hz: readonly number[] } | null;
}

export interface DrawnSpectrum {
  readonly first: number;
  readonly step: number;
  readonly rms: number[];
}

/** Averaged spectra of one channel over a stretch of a recording, in hertz and in orders of the wheel. */
export async function runSpectrum(
  input: RunSpectrumInput,
  progress: Progress,
): Promise<{ hertz: DrawnSpectrum; orders: (DrawnSpectrum & { shaft: string }) | null }> {
  const wav = await openWav(input.path);
  try {
    const rate = wav.format.sampleRate_Hz;
    const first = Math.max(0, Math.round(input.from_s * rate));
    const last = Math.min(wav.frames, Math.round(input.to_s * rate));
    const welch = new WelchAverager(rate, { segmentLength: SEGMENT });
    const decimated = new DecimatedChannels(1, rate);
    const slow: Float64Array[] = [];
    const chunk = Array.from({ length: wav.format.channels }, () => new Float32Array(CHUNK_FRAMES));
    for (let at = first; at < last; at += CHUNK_FRAMES) {
      const frames = await wav.read(at, Math.min(CHUNK_FRAMES, last - at), chunk);
      if (frames === 0) break;
      const samples = chunk[input.channelIndex]!.subarray(0, frames);
      welch.push(samples);
      decimated.feed([samples], frames);
      slow.push(decimated.channels[0]!.slice(0, decimated.frames));
      progress((at - first) / (last - first));
    }
    return {
      hertz: hertzOf(welch, rate),
      orders: input.wheel && ordersOf(slow, decimated, input.wheel, first / rate - decimated.delay_s),
    };
  } finally {
    await wav.close();
  }
}

/** Empty where the stretch is shorter than one segment. */
function hertzOf(welch: WelchAverager, rate: number): DrawnSpectrum {
  if (welch.averages === 0) return { first: 0, step: rate / SEGMENT, rms: [] };
  const { density, step_Hz, noiseBandwidth_Hz } = welch.result();
  const bins = Math.min(density.length, Math.floor(HIGHEST_DRAWN_HZ / step_Hz) + 1);
  return {
    first: 0,
    step: step_Hz,
    rms: Array.from(density.subarray(0, bins), (d) => Math.sqrt(d * noiseBandwidth_Hz)),
  };
}

function ordersOf(
  slow: readonly Float64Array[],
  { rate_Hz }: DecimatedChannels,
  wheel: NonNullable<RunSpectrumInput['wheel']>,
  start_s: number,
): (DrawnSpectrum & { shaft: string }) | null {
  const turning = wheel.t_s
    .map((t, i) => ({ t: t - start_s, hz: wheel.hz[i]! }))
    .filter(({ hz }) => hz > LOWEST_RATE_HZ);
  if (turning.length < 2) return null;
  const samples = new Float64Array(slow.reduce((n, part) => n + part.length, 0));
  let at = 0;
  for (const part of slow) {
    samples.set(part, at);
    at += part.length;
  }
  const motion = motionFromSpeed(
    turning.map(({ t }) => t),
    turning.map(({ hz }) => hz),
  );
  const angle = samples.length > 0 ? resampleToAngle(samples, rate_Hz, motion, SAMPLES_PER_TURN) : null;
  if (!angle) return null;
  const { power, step } = orderFrames(angle, TURNS_PER_BLOCK);
  const bins = Math.min(power[0]?.length ?? 0, Math.floor(HIGHEST_DRAWN_ORDER / step) + 1);
  const mean = Array.from(
    { length: bins },
    (_, k) => power.reduce((sum, frame) => sum + frame[k]!, 0) / power.length,
  );
  return { shaft: 'wheel', first: 0, step, rms: mean.map(Math.sqrt) };
}
