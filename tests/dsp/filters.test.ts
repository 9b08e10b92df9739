import fc from 'fast-check';
import { expect, test } from 'vitest';
import { FirFilter, firFilter, firFilterZeroDelay, firLowpass, kaiserLength } from '../../shared/dsp/fir.ts';
import {
  analyticSignal,
  hilbertEnvelope,
  hilbertTransform,
  squaredHilbertEnvelope,
} from '../../shared/dsp/hilbert.ts';
import {
  butterworthBandpass,
  butterworthHighpass,
  butterworthLowpass,
  SosFilter,
  sosFilter,
  sosFilterZeroPhase,
} from '../../shared/dsp/sos.ts';
import { factor, largest, largestDifference, samples, sine, spoiled } from './arbitraries.ts';

const RATE = 48_000;
const lowpass = butterworthLowpass(4, 1000, RATE);
const bandpass = butterworthBandpass(3, 500, 5000, RATE);
const taps = firLowpass(2000, 4000, 80, RATE);
const longTaps = firLowpass(500, 1000, 100, RATE);

/** Every filter of this library, as a function from signal to signal. */
const filters: Record<string, (x: Float64Array) => Float64Array> = {
  'Butterworth low-pass': (x) => sosFilter(lowpass, x),
  'Butterworth band-pass': (x) => sosFilter(bandpass, x),
  'zero-phase low-pass': (x) => sosFilterZeroPhase(lowpass, x),
  'FIR by the sum': (x) => firFilter(taps, x),
  'FIR by overlap-save': (x) => firFilter(longTaps, x),
  'FIR without delay': (x) => firFilterZeroDelay(taps, x),
  'Hilbert transform': hilbertTransform,
};

test.each(Object.entries(filters))('%s is linear', (_, filter) => {
  fc.assert(
    fc.property(samples(300, 300), samples(300, 300), factor, (x, y, a) => {
      const together = filter(x.map((value, n) => a * value + y[n]!));
      const fx = filter(x);
      const fy = filter(y);
      const apart = fx.map((value, n) => a * value + fy[n]!);
      expect(largestDifference(together, apart)).toBeLessThanOrEqual(
        1e-9 * (Math.abs(a) * largest(x) + largest(y)),
      );
    }),
    { numRuns: 30 },
  );
});

test.each(Object.entries(filters).filter(([name]) => !/zero-phase|Hilbert|without delay/.test(name)))(
  '%s answers later to what comes later, and in the same way',
  (_, filter) => {
    fc.assert(
      fc.property(samples(200, 200), fc.integer({ min: 1, max: 100 }), (x, shift) => {
        const later = new Float64Array(300);
        later.set(x, shift);
        const early = new Float64Array(300);
        early.set(x);
        const a = filter(early).subarray(0, 300 - shift);
        const b = filter(later).subarray(shift);
        expect(largestDifference(a, b)).toBeLessThanOrEqual(1e-11 * largest(x));
      }),
      { numRuns: 30 },
    );
  },
);

test.each(Object.entries(filters))('%s: silence, one sample, NaN and infinity', (_, filter) => {
  expect(largest(filter(new Float64Array(500)))).toBe(0);
  const one = filter(new Float64Array([2]));
  expect(one.length).toBe(1);
  expect(Number.isFinite(one[0])).toBe(true);
  fc.assert(
    fc.property(spoiled(200), (x) => {
      expect(() => filter(x)).toThrow(/value \d+ is (NaN|-?Infinity); every value must be a finite number/);
    }),
    { numRuns: 30 },
  );
});

test('-3.01 dB at every Butterworth cutoff (by definition: half the power)', () => {
  const gainAt = (sections: Float64Array, f_Hz: number): number => {
    let gain = 1;
    const w = (2 * Math.PI * f_Hz) / RATE;
    for (let i = 0; i < sections.length; i += 6) {
      const [b0, b1, b2, , a1, a2] = Array.from(sections.subarray(i, i + 6)) as [
        number,
        number,
        number,
        number,
        number,
        number,
      ];
      const top = Math.hypot(
        b0 + b1 * Math.cos(w) + b2 * Math.cos(2 * w),
        b1 * Math.sin(w) + b2 * Math.sin(2 * w),
      );
      const bottom = Math.hypot(
        1 + a1 * Math.cos(w) + a2 * Math.cos(2 * w),
        a1 * Math.sin(w) + a2 * Math.sin(2 * w),
      );
      gain *= top / bottom;
    }
    return gain;
  };
  for (const order of [1, 2, 3, 4, 7, 10]) {
    expect(gainAt(butterworthLowpass(order, 3000, RATE), 3000)).toBeCloseTo(Math.SQRT1_2, 8);
    expect(gainAt(butterworthHighpass(order, 3000, RATE), 3000)).toBeCloseTo(Math.SQRT1_2, 8);
    const band = butterworthBandpass(order, 1000, 4000, RATE);
    expect(gainAt(band, 1000)).toBeCloseTo(Math.SQRT1_2, 7);
    expect(gainAt(band, 4000)).toBeCloseTo(Math.SQRT1_2, 7);
  }
});

test('cutoffs beyond reach and broken sections are refused', () => {
  for (const cutoff of [0, -5, 24_000, 30_000, Number.NaN]) {
    expect(() => butterworthLowpass(2, cutoff, RATE)).toThrow(/^cutoff/);
    expect(() => butterworthHighpass(2, cutoff, RATE)).toThrow(/^cutoff/);
    expect(() => butterworthBandpass(2, cutoff, 23_000, RATE)).toThrow(/^lower band edge/);
  }
  expect(() => butterworthBandpass(2, 3000, 2000, RATE)).toThrow(/must lie above/);
  expect(() => butterworthLowpass(0, 100, RATE)).toThrow(/^order/);
  expect(() => new SosFilter(new Float64Array(5))).toThrow(/six for each section/);
  expect(() => new SosFilter(new Float64Array([1, 0, 0, 2, 0, 0]))).toThrow(/a0 is 2/);
  expect(() => new SosFilter(new Float64Array([1, 0, 0, 1, Number.NaN, 0]))).toThrow(/^sections: value 4/);
});

test('streams cut anywhere give what the whole gives', () => {
  fc.assert(
    fc.property(
      samples(400, 400),
      fc.array(fc.integer({ min: 0, max: 200 }), { minLength: 1, maxLength: 20 }),
      (x, cuts) => {
        for (const make of [
          () => new SosFilter(bandpass),
          () => new FirFilter(taps),
          () => new FirFilter(longTaps),
        ]) {
          const filter = make();
          const streamed = x.slice();
          let start = 0;
          for (const cut of cuts) {
            const block = streamed.subarray(start, start + cut);
            filter.process(block, block);
            start = Math.min(x.length, start + cut);
          }
          const rest = streamed.subarray(start);
          filter.process(rest, rest);
          const whole = make().process(x, new Float64Array(x.length));
          expect(largestDifference(streamed, whole)).toBeLessThanOrEqual(1e-11 * largest(x));
        }
      },
    ),
    { numRuns: 30 },
  );
});

test('a filter that met a NaN says so and works again afterwards', () => {
  for (const filter of [new SosFilter(bandpass), new FirFilter(taps)]) {
    const clean = sine(600, 0.02);
    const fresh = filter.process(clean, new Float64Array(600));
    const bad = clean.slice();
    bad[577] = Number.NaN;
    expect(() => filter.process(bad, new Float64Array(600))).toThrow(/is NaN/);
    expect(largestDifference(filter.process(clean, new Float64Array(600)), fresh)).toBe(0);
  }
});

test('a long fade to silence leaves no numbers that slow the processor down', () => {
  const filter = new SosFilter(lowpass);
  filter.process(sine(512, 0.01), new Float64Array(512));
  const block = new Float64Array(512);
  for (let n = 0; n < 200; n++) filter.process(new Float64Array(512), block);
  expect(largest(block)).toBe(0);
});

test('zero phase: a tone in the band keeps its place', () => {
  const tone = sine(4800, 200 / RATE);
  const filtered = sosFilterZeroPhase(lowpass, tone);
  expect(largestDifference(filtered.subarray(1000, 3800), tone.subarray(1000, 3800))).toBeLessThan(1e-3);
});

test('a FIR filter needs as many taps as Kaiser’s formula says', () => {
  // Oppenheim & Schafer, Discrete-Time Signal Processing, 3rd ed., example 7.5: 60 dB over 0.1 of the sample
  // rate's half (0.4π to 0.6π) gives order 37, so 38 taps; an odd number of them is 39.
  expect(kaiserLength(60, 0.1)).toBe(39);
  expect(() => kaiserLength(60, 0)).toThrow(/^transition/);
});

test('the Hilbert transform of a cosine is a sine, and its envelope is level', () => {
  const amplitude = 3;
  const cosine = sine(4096, 100 / 4096, amplitude, Math.PI / 2);
  expect(largestDifference(hilbertTransform(cosine), sine(4096, 100 / 4096, amplitude))).toBeLessThan(1e-11);
  expect(largestDifference(hilbertEnvelope(cosine), new Float64Array(4096).fill(3))).toBeLessThan(1e-11);
  expect(largestDifference(squaredHilbertEnvelope(cosine), new Float64Array(4096).fill(9))).toBeLessThan(
    1e-10,
  );
  expect(Array.from(analyticSignal(cosine).real)).toEqual(Array.from(cosine));
});

test('nothing is refused as nothing', () => {
  const none = new Float64Array(0);
  expect(sosFilter(lowpass, none).length).toBe(0);
  expect(sosFilterZeroPhase(lowpass, none).length).toBe(0);
  expect(firFilter(taps, none).length).toBe(0);
  expect(() => hilbertTransform(none)).toThrow(/^signal is empty/);
  expect(() => firFilterZeroDelay(new Float64Array(4), none)).toThrow(/half the number of taps/);
  expect(() => new FirFilter(none)).toThrow(/^taps is empty/);
});
