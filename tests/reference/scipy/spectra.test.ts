import { beforeAll, expect, test } from 'vitest';
import { chiSquaredCdf, chiSquaredQuantile, logGamma } from '../../../shared/dsp/chi-squared.ts';
import { complexFft, realFft } from '../../../shared/dsp/fft.ts';
import { loadSingleFft, singleFft } from '../../../shared/dsp/fft-single.ts';
import { hilbertEnvelope, hilbertTransform } from '../../../shared/dsp/hilbert.ts';
import { spectrogram } from '../../../shared/dsp/spectrogram.ts';
import { densityConfidence, welch } from '../../../shared/dsp/spectrum.ts';
import * as windows from '../../../shared/dsp/windows.ts';
import { zoomTransform } from '../../../shared/dsp/zoom.ts';
import { gaussianNoise } from './noise.ts';
import { relativeError, runScipy } from './run.ts';

/** The two limits of the job's brief: double precision, and where data is single. */
const DOUBLE = 1e-9;
const SINGLE = 1e-5;

const noise = gaussianNoise(50_001, 1);
// A drive's spectrum in small: offset, a strong line, noise 40 dB below.
const signal = noise.map((value, n) => 0.2 + Math.sin(n / 7) + 0.01 * value);
const short = signal.slice(0, 1000);

const WINDOWS = {
  hann: 'hann',
  hamming: 'hamming',
  blackman: 'blackman',
  blackmanHarris: 'blackmanharris',
  flatTop: 'flattop',
} as const;
const LENGTHS = [1, 2, 3, 16, 1001, 4096];
const BETAS = [0, 2, 8.6, 14];
const PROBABILITIES = [0.001, 0.025, 0.5, 0.975, 0.9999];
const FREEDOMS = [0.5, 2, 7.3, 100, 5000];

let expected: Record<string, Float64Array>;

beforeAll(async () => {
  await loadSingleFft();
  const outputs: string[] = [];
  const lines: string[] = [];
  const ask = (name: string, python: string): void => {
    outputs.push(name);
    lines.push(`${name} = ${python}`);
  };
  for (const length of LENGTHS) {
    for (const [ours, theirs] of Object.entries(WINDOWS)) {
      ask(`${ours}_periodic_${length}`, `signal.get_window('${theirs}', ${length}, fftbins=True)`);
      ask(`${ours}_symmetric_${length}`, `signal.get_window('${theirs}', ${length}, fftbins=False)`);
    }
    BETAS.forEach((beta, b) => {
      ask(`kaiser${b}_periodic_${length}`, `signal.windows.kaiser(${length}, ${beta}, sym=False)`);
      ask(`kaiser${b}_symmetric_${length}`, `signal.windows.kaiser(${length}, ${beta}, sym=True)`);
    });
  }
  ask('rfft', 'fft.rfft(x[:4096])');
  ask('cfft', 'fft.fft(x[:2048] + 1j * x[2048:4096])');
  ask('welchDefault', 'signal.welch(x, 48000, nperseg=4096)[1]');
  ask(
    'welchFlatTop',
    "signal.welch(x, 44100, window='flattop', nperseg=1000, noverlap=750, nfft=1024, detrend=False)[1]",
  );
  ask('welchShort', 'signal.welch(short, 48000, nperseg=1000, nfft=1024)[1]');
  ask('welchSingle', 'signal.welch(x.astype(np.float32), 48000, nperseg=4096)[1]');
  ask('spectrogramTimes', "signal.spectrogram(x, 48000, window='hann', nperseg=2048, noverlap=1024)[1]");
  ask('spectrogramDensity', "signal.spectrogram(x, 48000, window='hann', nperseg=2048, noverlap=1024)[2].T");
  ask('quadrature', 'signal.hilbert(x, N=65536).imag[:len(x)]');
  ask('envelope', 'np.abs(signal.hilbert(x[:32768]))');
  ask('zoomed', 'signal.zoom_fft(x, [1000, 1200], 777, fs=48000, endpoint=True)');
  ask(
    'quantiles',
    `[stats.chi2.ppf(p, v) for p in ${JSON.stringify(PROBABILITIES)} for v in ${JSON.stringify(FREEDOMS)}]`,
  );
  ask('cdf', `[stats.chi2.cdf(v * f, v) for f in (0.2, 1, 1.5) for v in ${JSON.stringify(FREEDOMS)}]`);
  ask('gammaln', 'special.gammaln([0.1, 0.5, 1, 3.7, 50, 2500])');
  expected = runScipy({ x: signal, short }, lines.join('\n'), outputs);
});

test('windows, periodic and symmetric', () => {
  for (const length of LENGTHS) {
    for (const symmetry of ['periodic', 'symmetric'] as const) {
      for (const name of Object.keys(WINDOWS) as (keyof typeof WINDOWS)[]) {
        const ours = windows.windowByName(name, length, symmetry);
        expect(relativeError(ours, expected[`${name}_${symmetry}_${length}`]!), name).toBeLessThan(DOUBLE);
      }
      BETAS.forEach((beta, b) => {
        const ours = windows.kaiser(length, beta, symmetry);
        expect(relativeError(ours, expected[`kaiser${b}_${symmetry}_${length}`]!)).toBeLessThan(DOUBLE);
      });
    }
  }
});

test('real transform, double and single precision', () => {
  const input = signal.subarray(0, 4096);
  expect(relativeError(realFft(4096).forward(input), expected.rfft!)).toBeLessThan(DOUBLE);
  expect(relativeError(singleFft(4096).forward(input), expected.rfft!)).toBeLessThan(SINGLE);
});

test('complex transform', () => {
  const input = new Float64Array(4096);
  for (let n = 0; n < 2048; n++) {
    input[2 * n] = signal[n]!;
    input[2 * n + 1] = signal[2048 + n]!;
  }
  expect(relativeError(complexFft(2048).forward(input, new Float64Array(4096)), expected.cfft!)).toBeLessThan(
    DOUBLE,
  );
});

test('Welch density: default, other window and overlap without detrending, one short segment', () => {
  const ours = welch(signal, 48_000, { segmentLength: 4096 });
  expect(ours.averages).toBe(23);
  expect(relativeError(ours.density, expected.welchDefault!)).toBeLessThan(DOUBLE);
  const flatTop = welch(signal, 44_100, {
    segmentLength: 1000,
    overlap: 0.75,
    window: 'flatTop',
    detrend: 'none',
  });
  expect(relativeError(flatTop.density, expected.welchFlatTop!)).toBeLessThan(DOUBLE);
  expect(
    relativeError(welch(short, 48_000, { segmentLength: 4096 }).density, expected.welchShort!),
  ).toBeLessThan(DOUBLE);
});

test('Welch density in single precision', () => {
  const ours = welch(Float32Array.from(signal), 48_000, { segmentLength: 4096, precision: 'single' });
  expect(relativeError(ours.density, expected.welchSingle!)).toBeLessThan(SINGLE);
});

test('spectrogram', () => {
  const ours = spectrogram(signal, 48_000, { segmentLength: 2048 });
  expect(relativeError(ours.times_s, expected.spectrogramTimes!)).toBeLessThan(DOUBLE);
  // Stored in single precision.
  expect(relativeError(ours.density, expected.spectrogramDensity!)).toBeLessThan(SINGLE);
});

test('Hilbert transform and envelope', () => {
  expect(relativeError(hilbertTransform(signal), expected.quadrature!)).toBeLessThan(DOUBLE);
  expect(relativeError(hilbertEnvelope(signal.subarray(0, 32_768)), expected.envelope!)).toBeLessThan(DOUBLE);
});

test('zoom by the chirp-z transform', () => {
  expect(relativeError(zoomTransform(signal, 48_000, 1000, 1200, 777), expected.zoomed!)).toBeLessThan(
    DOUBLE,
  );
});

test('chi-squared distribution behind the confidence limits', () => {
  const quantiles = PROBABILITIES.flatMap((p) => FREEDOMS.map((v) => chiSquaredQuantile(p, v)));
  quantiles.forEach((value, i) => {
    expect(value / expected.quantiles![i]!).toBeCloseTo(1, 10);
  });
  const cdf = [0.2, 1, 1.5].flatMap((f) => FREEDOMS.map((v) => chiSquaredCdf(v * f, v)));
  expect(relativeError(cdf, expected.cdf!)).toBeLessThan(DOUBLE);
  expect(relativeError([0.1, 0.5, 1, 3.7, 50, 2500].map(logGamma), expected.gammaln!)).toBeLessThan(DOUBLE);
});

test('the 90 % confidence limits hold the true density of white noise in about 90 % of the bins', () => {
  const psd = welch(gaussianNoise(200_000, 7), 1, { segmentLength: 1024 });
  const { lower, upper } = densityConfidence(psd, 0.9);
  // Unit variance over half a hertz: the one-sided density is 2.
  const inner = psd.density.subarray(2, -2);
  const held = inner.filter((density) => density * lower <= 2 && density * upper >= 2).length / inner.length;
  expect(held).toBeGreaterThan(0.86);
  expect(held).toBeLessThan(0.94);
});
