import { beforeAll, expect, test } from 'vitest';
import {
  firBandpass,
  firFilter,
  firFilterZeroDelay,
  firLowpass,
  kaiserBeta,
} from '../../../shared/dsp/fir.ts';
import {
  decimationStages,
  resampleRational,
  resamplingTaps,
  StreamingDecimator,
} from '../../../shared/dsp/resample.ts';
import {
  butterworthBandpass,
  butterworthHighpass,
  butterworthLowpass,
  SosFilter,
  sosFilter,
  sosFilterZeroPhase,
} from '../../../shared/dsp/sos.ts';
import { gaussianNoise } from './noise.ts';
import { relativeError, runScipy } from './run.ts';

const DOUBLE = 1e-9;
const SINGLE = 1e-5;

const RATE = 48_000;
const signal = gaussianNoise(20_001, 2).map((value) => value + 0.3);
const single = Float32Array.from(signal);

/** Order, lower and upper edge in hertz: from a rumble band to the whole of the ear's. */
const DESIGNS: [number, number, number][] = [
  [1, 100, 2000],
  [2, 20, 5000],
  [3, 500, 10_000],
  [4, 1000, 3000],
  [4, 10, 200],
  [5, 1000, 20_000],
  [8, 2000, 6000],
];
const RATIOS: [number, number][] = [
  [1, 2],
  [2, 1],
  [3, 2],
  [2, 3],
  [160, 147],
  [1, 10],
];
const FACTORS = [2, 3, 8, 12];

const longTaps = firLowpass(300, 600, 100, RATE);
const shortTaps = firLowpass(5000, 10_000, 60, RATE);
const bandTaps = firBandpass(2000, 4000, 400, 80, RATE);

let expected: Record<string, Float64Array>;

beforeAll(() => {
  const outputs: string[] = [];
  const lines: string[] = [];
  const ask = (name: string, python: string): void => {
    outputs.push(name);
    lines.push(`${name} = ${python}`);
  };
  DESIGNS.forEach(([order, low, high], d) => {
    ask(`low${d}`, `signal.butter(${order}, ${low}, 'lowpass', fs=${RATE}, output='sos')`);
    ask(`high${d}`, `signal.butter(${order}, ${low}, 'highpass', fs=${RATE}, output='sos')`);
    ask(`band${d}`, `signal.butter(${order}, [${low}, ${high}], 'bandpass', fs=${RATE}, output='sos')`);
    for (const kind of ['low', 'high', 'band']) {
      ask(`${kind}${d}_forward`, `signal.sosfilt(${kind}${d}, x)`);
      ask(`${kind}${d}_zeroPhase`, `signal.sosfiltfilt(${kind}${d}, x)`);
    }
  });
  ask('single', 'signal.sosfilt(band3, single)');
  ask('briefZeroPhase', 'signal.sosfiltfilt(low3, x[:40])');
  const inputs: Record<string, Float64Array | Float32Array> = { x: signal, single, longTaps, shortTaps };
  for (const [up, down] of RATIOS) {
    inputs[`taps_${up}_${down}`] = resamplingTaps(up, down);
    ask(`resampled_${up}_${down}`, `signal.resample_poly(x, ${up}, ${down}, window=taps_${up}_${down})`);
  }
  for (const factor of FACTORS) {
    // The same stages by upfirdn, one after the other, from the first sample on.
    let python = 'x';
    decimationStages(factor).forEach((stage, s) => {
      inputs[`stage_${factor}_${s}`] = stage.taps;
      python = `signal.upfirdn(stage_${factor}_${s}, ${python}, 1, ${stage.factor})`;
    });
    ask(`decimated_${factor}`, python);
  }
  ask('firLong', 'signal.lfilter(longTaps, 1, x)');
  ask('firShort', 'signal.lfilter(shortTaps, 1, x)');
  ask('firSame', "signal.convolve(x, longTaps, 'same')");
  ask(
    'firDesign',
    `signal.firwin(len(longTaps), 450, window=('kaiser', signal.kaiser_beta(100)), fs=${RATE})`,
  );
  ask('kaiserBeta', '[signal.kaiser_beta(a) for a in (10, 30, 60, 106)]');
  expected = runScipy(inputs, lines.join('\n'), outputs);
});

const design = ([order, low, high]: [number, number, number]) => ({
  low: butterworthLowpass(order, low, RATE),
  high: butterworthHighpass(order, low, RATE),
  band: butterworthBandpass(order, low, high, RATE),
});

test('Butterworth sections', () => {
  DESIGNS.forEach((parameters, d) => {
    for (const [kind, sections] of Object.entries(design(parameters))) {
      expect(relativeError(sections, expected[`${kind}${d}`]!), `${kind} ${parameters}`).toBeLessThan(DOUBLE);
    }
  });
});

test('filtering forward and with zero phase', () => {
  DESIGNS.forEach((parameters, d) => {
    for (const [kind, sections] of Object.entries(design(parameters))) {
      const forward = sosFilter(sections, signal);
      expect(relativeError(forward, expected[`${kind}${d}_forward`]!), `${kind} ${parameters}`).toBeLessThan(
        DOUBLE,
      );
      const zeroPhase = sosFilterZeroPhase(sections, signal);
      expect(
        relativeError(zeroPhase, expected[`${kind}${d}_zeroPhase`]!),
        `${kind} ${parameters}`,
      ).toBeLessThan(DOUBLE);
    }
  });
});

test('streaming in uneven blocks, in place, and from single-precision samples', () => {
  const filter = new SosFilter(butterworthBandpass(...DESIGNS[3]!, RATE));
  const streamed = single.slice();
  for (let start = 0, n = 1; start < streamed.length; start += n, n = (n * 7 + 3) % 1500) {
    const block = streamed.subarray(start, start + n);
    filter.process(block, block);
  }
  expect(relativeError(streamed, expected.single!)).toBeLessThan(SINGLE);
});

test('zero phase on a signal hardly longer than its padding', () => {
  const brief = sosFilterZeroPhase(butterworthLowpass(4, 1000, RATE), signal.subarray(0, 40));
  expect(relativeError(brief, expected.briefZeroPhase!)).toBeLessThan(DOUBLE);
});

test('FIR design and filtering', () => {
  expect(relativeError(longTaps, expected.firDesign!)).toBeLessThan(DOUBLE);
  expect(relativeError([10, 30, 60, 106].map(kaiserBeta), expected.kaiserBeta!)).toBeLessThan(DOUBLE);
  expect(relativeError(firFilter(longTaps, signal), expected.firLong!)).toBeLessThan(DOUBLE);
  expect(relativeError(firFilter(shortTaps, signal), expected.firShort!)).toBeLessThan(DOUBLE);
  expect(relativeError(firFilterZeroDelay(longTaps, signal), expected.firSame!)).toBeLessThan(DOUBLE);
});

test('FIR band-pass: flat in the band, 80 dB down beyond its transitions', () => {
  const gain = (frequency: number): number => {
    let re = 0;
    let im = 0;
    bandTaps.forEach((tap, n) => {
      re += tap * Math.cos((2 * Math.PI * frequency * n) / RATE);
      im -= tap * Math.sin((2 * Math.PI * frequency * n) / RATE);
    });
    return Math.hypot(re, im);
  };
  for (let f = 2000; f <= 4000; f += 50) expect(gain(f)).toBeCloseTo(1, 3);
  for (let f = 0; f <= 1600; f += 10) expect(gain(f)).toBeLessThan(1e-4);
  for (let f = 4400; f <= 24_000; f += 50) expect(gain(f)).toBeLessThan(1e-4);
});

test('rational resampling with the same taps', () => {
  for (const [up, down] of RATIOS) {
    expect(
      relativeError(resampleRational(signal, up, down), expected[`resampled_${up}_${down}`]!),
      `${up}/${down}`,
    ).toBeLessThan(DOUBLE);
  }
});

test('streaming decimation with the same stages', () => {
  for (const factor of FACTORS) {
    const decimator = new StreamingDecimator(factor);
    // One more than needed: each call asks for room for all that its own block could give.
    const output = new Float64Array(Math.ceil(signal.length / factor) + 1);
    let written = 0;
    for (let start = 0, n = 1; start < signal.length; start += n, n = (n * 7 + 3) % 3000) {
      written += decimator.process(signal.subarray(start, start + n), output.subarray(written));
    }
    expect(written).toBe(Math.ceil(signal.length / factor));
    // SciPy goes on to the end of the impulse response; the stream ends with the input.
    const theirs = expected[`decimated_${factor}`]!.subarray(0, written);
    expect(relativeError(output.subarray(0, written), theirs), `factor ${factor}`).toBeLessThan(DOUBLE);
  }
});
