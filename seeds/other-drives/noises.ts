import type { Dice } from './dice.ts';

/** White noise through a second-order band pass, freed of its gain: mean square about 1. */
export function bandNoise(
  frames: number,
  rate_Hz: number,
  from_Hz: number,
  to_Hz: number,
  dice: Dice,
): Float32Array {
  const out = new Float32Array(frames);
  const lo = 1 - Math.exp((-2 * Math.PI * from_Hz) / rate_Hz);
  const hi = 1 - Math.exp((-2 * Math.PI * Math.min(to_Hz, 0.4 * rate_Hz)) / rate_Hz);
  let [a, b, c, d] = [0, 0, 0, 0];
  let power = 0;
  for (let i = 0; i < frames; i++) {
    // Evenly spread numbers do for noise once it is filtered, and cost less.
    a += hi * (dice.uniform(-1, 1) - a);
    b += hi * (a - b);
    c += lo * (b - c);
    d += lo * (b - c - d);
    out[i] = b - c - d;
    power += out[i]! ** 2;
  }
  const scale = 1 / Math.sqrt(power / frames);
  for (let i = 0; i < frames; i++) out[i] = out[i]! * scale;
  return out;
}

/** `bandNoise` of that many octaves around a frequency. */
export function noiseAround(
  frames: number,
  rate_Hz: number,
  centre_Hz: number,
  octaves: number,
  dice: Dice,
): Float32Array {
  const half = 2 ** (octaves / 2);
  return bandNoise(frames, rate_Hz, centre_Hz / half, centre_Hz * half, dice);
}

/** Blows at a multiple of a shaft, each ringing for about a millisecond. */
export function strike(
  out: Float32Array,
  rate_Hz: number,
  turns: Float64Array,
  order: number,
  height: number,
  dice: Dice,
): void {
  const ring_Hz = dice.uniform(1500, 6000);
  const decay = Math.exp(-1 / (0.0012 * rate_Hz));
  let size = 0;
  let count = 0;
  for (let i = 0; i < out.length; i++) {
    const passed = Math.floor(turns[i]! * order);
    if (passed !== count) {
      count = passed;
      size = height;
    }
    size *= decay;
    out[i] = out[i]! + size * Math.sin((2 * Math.PI * ring_Hz * i) / rate_Hz);
  }
}

/** First order. */
export function lowPassed(signal: Float32Array, rate_Hz: number, corner_Hz: number): Float32Array {
  const share = 1 - Math.exp((-2 * Math.PI * corner_Hz) / rate_Hz);
  const out = new Float32Array(signal.length);
  let y = 0;
  for (let i = 0; i < out.length; i++) {
    y += share * (signal[i]! - y);
    out[i] = y;
  }
  return out;
}

/** A second-order peak of that many dB, in place (Bristow-Johnson's cookbook formulae for audio EQ biquads). */
export function peaking(
  signal: Float32Array,
  rate_Hz: number,
  peak_Hz: number,
  peak_db: number,
  quality: number,
): void {
  const amplitude = 10 ** (peak_db / 40);
  const w = (2 * Math.PI * peak_Hz) / rate_Hz;
  const alpha = Math.sin(w) / (2 * quality);
  const a0 = 1 + alpha / amplitude;
  const b = [(1 + alpha * amplitude) / a0, (-2 * Math.cos(w)) / a0, (1 - alpha * amplitude) / a0] as const;
  const a2 = (1 - alpha / amplitude) / a0;
  let [x1, x2, y1, y2] = [0, 0, 0, 0];
  for (let i = 0; i < signal.length; i++) {
    const x = signal[i]!;
    const y = b[0] * x + b[1] * (x1 - y1) + b[2] * x2 - a2 * y2;
    [x2, x1, y2, y1] = [x1, x, y1, y];
    signal[i] = y;
  }
}
