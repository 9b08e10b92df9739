import { assertFinite, assertPositive } from './validation.ts';

/** One tone in a signal, as the least squares see it. */
export type SineFit = {
  readonly frequency_Hz: number;
  /** Of the tone alone, in the signal's unit. */
  readonly rms: number;
  readonly offset: number;
  /** Of what the tone leaves over, in the signal's unit. */
  readonly residualRms: number;
};

const ROUNDS = 12;
/** Phase over the whole signal that one more round would change. */
const CONVERGED_RAD = 1e-10;
/** Fewer turns than this do not part the tone from the offset. */
const LEAST_TURNS = 3;

/**
 * Fits a sine with an offset to a signal by least squares, the frequency with it: the four-parameter fit of
 * IEEE Std 1057 (Annex A; the standard's method from memory), by Gauss-Newton steps from the start frequency.
 * @param signal samples in any unit, at least three turns of the tone
 * @param start_Hz the tone's frequency to within about half a turn over the signal's length
 * @returns null when the fit runs away from the start by more than one turn over the signal's length
 * @throws {RangeError} for NaN or infinity, a rate or a frequency that is not positive, or too few samples
 */
export function fitSine(signal: Float64Array, sampleRate_Hz: number, start_Hz: number): SineFit | null {
  const n = requireTurns(signal, sampleRate_Hz, start_Hz);
  const start = (2 * Math.PI * start_Hz) / sampleRate_Hz;
  let w = start;
  let found = linearFit(signal, w, null);
  for (let round = 0; round < ROUNDS; round++) {
    const next = linearFit(signal, w, found);
    if (!next) return null;
    found = next;
    w += next.step;
    if (Math.abs(w - start) > (2 * Math.PI) / n) return null;
    if (Math.abs(next.step) * n < CONVERGED_RAD) break;
  }
  return sineAt(signal, w, sampleRate_Hz);
}

/**
 * Fits a sine of a known frequency, with an offset, by least squares: the three-parameter fit of IEEE Std 1057 (the
 * standard's method from memory).
 * @param signal samples in any unit, at least three turns of the tone
 * @throws {RangeError} for NaN or infinity, a rate or a frequency that is not positive, or too few samples
 */
export function fitSineAt(signal: Float64Array, sampleRate_Hz: number, frequency_Hz: number): SineFit | null {
  requireTurns(signal, sampleRate_Hz, frequency_Hz);
  return sineAt(signal, (2 * Math.PI * frequency_Hz) / sampleRate_Hz, sampleRate_Hz);
}

function requireTurns(signal: Float64Array, sampleRate_Hz: number, frequency_Hz: number): number {
  assertFinite(signal, 'signal');
  assertPositive(sampleRate_Hz, 'sampleRate_Hz');
  assertPositive(frequency_Hz, 'frequency_Hz');
  const n = signal.length;
  if (n < 8 || (n * frequency_Hz) / sampleRate_Hz < LEAST_TURNS) {
    throw new RangeError(`${n} samples hold fewer than ${LEAST_TURNS} turns of ${frequency_Hz} Hz`);
  }
  return n;
}

function sineAt(signal: Float64Array, w: number, sampleRate_Hz: number): SineFit | null {
  const found = linearFit(signal, w, null);
  if (!found) return null;
  const n = signal.length;
  let left = 0;
  for (let i = 0; i < n; i++) {
    const angle = w * (i - (n - 1) / 2);
    left += (signal[i]! - found.a * Math.cos(angle) - found.b * Math.sin(angle) - found.c) ** 2;
  }
  return {
    frequency_Hz: (w * sampleRate_Hz) / (2 * Math.PI),
    rms: Math.hypot(found.a, found.b) / Math.SQRT2,
    offset: found.c,
    residualRms: Math.sqrt(left / n),
  };
}

type Linear = { readonly a: number; readonly b: number; readonly c: number; readonly step: number };

/**
 * Least squares for cosine, sine and offset at a fixed angle step, and for the step's error once a first fit is known.
 * Time runs from the middle, which keeps the equations well conditioned.
 */
function linearFit(signal: Float64Array, w: number, first: Linear | null): Linear | null {
  const n = signal.length;
  const size = first ? 4 : 3;
  const normal = new Float64Array(size * (size + 1));
  const row = new Float64Array(size + 1);
  for (let i = 0; i < n; i++) {
    const t = i - (n - 1) / 2;
    const cos = Math.cos(w * t);
    const sin = Math.sin(w * t);
    row[0] = cos;
    row[1] = sin;
    row[2] = 1;
    // Scaled by the length, so that all columns are of one size.
    if (first) row[3] = ((first.b * cos - first.a * sin) * t) / n;
    row[size] = signal[i]!;
    for (let r = 0; r < size; r++) {
      for (let k = r; k <= size; k++) normal[r * (size + 1) + k]! += row[r]! * row[k]!;
    }
  }
  for (let r = 1; r < size; r++) {
    for (let k = 0; k < r; k++) normal[r * (size + 1) + k] = normal[k * (size + 1) + r]!;
  }
  const x = solve(normal, size);
  return x && { a: x[0]!, b: x[1]!, c: x[2]!, step: first ? x[3]! / n : 0 };
}

/** Gauss elimination with pivots; null when the equations do not decide. */
function solve(system: Float64Array, size: number): number[] | null {
  const width = size + 1;
  for (let k = 0; k < size; k++) {
    let pivot = k;
    for (let r = k + 1; r < size; r++) {
      if (Math.abs(system[r * width + k]!) > Math.abs(system[pivot * width + k]!)) pivot = r;
    }
    if (!(Math.abs(system[pivot * width + k]!) > 1e-300)) return null;
    for (let c = k; c < width; c++) {
      const kept = system[k * width + c]!;
      system[k * width + c] = system[pivot * width + c]!;
      system[pivot * width + c] = kept;
    }
    for (let r = 0; r < size; r++) {
      if (r === k) continue;
      const factor = system[r * width + k]! / system[k * width + k]!;
      for (let c = k; c < width; c++) system[r * width + c]! -= factor * system[k * width + c]!;
    }
  }
  return Array.from({ length: size }, (_, r) => system[r * width + size]! / system[r * width + r]!);
}
