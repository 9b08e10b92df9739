import fc from 'fast-check';

/** Below this a number is as good as none, and its products fall below what a double can hold. */
const SMALLEST = 1e-12;

/** A factor of either sign. */
export const factor: fc.Arbitrary<number> = fc
  .double({ min: -100, max: 100, noNaN: true })
  .map((value) => (Math.abs(value) < SMALLEST ? 0 : value));

/** Samples as a channel may give them: finite, of any size that an acceleration has. */
export const samples = (minLength: number, maxLength: number): fc.Arbitrary<Float64Array<ArrayBuffer>> =>
  fc
    .array(fc.double({ min: -1e4, max: 1e4, noNaN: true, noDefaultInfinity: true }), { minLength, maxLength })
    .map((values) => Float64Array.from(values, (value) => (Math.abs(value) < SMALLEST ? 0 : value)));

/** What no function may accept in silence. */
export const notFinite = fc.constantFrom(Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY);

/** A signal with one bad sample somewhere. */
export const spoiled = (length: number): fc.Arbitrary<Float64Array<ArrayBuffer>> =>
  fc.tuple(samples(length, length), fc.nat(length - 1), notFinite).map(([signal, at, bad]) => {
    signal[at] = bad;
    return signal;
  });

export function largest(values: ArrayLike<number>): number {
  let most = 0;
  for (let i = 0; i < values.length; i++) most = Math.max(most, Math.abs(values[i]!));
  return most;
}

export function largestDifference(a: ArrayLike<number>, b: ArrayLike<number>): number {
  if (a.length !== b.length) throw new Error(`lengths differ: ${a.length} and ${b.length}`);
  let most = 0;
  for (let i = 0; i < a.length; i++) {
    const difference = Math.abs(a[i]! - b[i]!);
    if (!(difference <= most)) most = difference;
  }
  return most;
}

export const sine = (
  length: number,
  cyclesPerSample: number,
  amplitude = 1,
  phase_rad = 0,
): Float64Array<ArrayBuffer> =>
  Float64Array.from(
    { length },
    (_, n) => amplitude * Math.sin(2 * Math.PI * cyclesPerSample * n + phase_rad),
  );
