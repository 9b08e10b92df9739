import { beforeAll, expect, test } from 'vitest';
import {
  autoSpectrum,
  type CrossSpectralMatrix,
  coherence,
  coherentOutputPower,
  conditionedOn,
  crossPhase_rad,
  crossSpectra,
  crossSpectrum,
} from '../../../shared/dsp/coherence.ts';
import { loadSingleFft } from '../../../shared/dsp/fft-single.ts';
import { firFilter, firLowpass } from '../../../shared/dsp/fir.ts';
import { gaussianNoise } from './noise.ts';
import { relativeError, runScipy } from './run.ts';

const DOUBLE = 1e-9;
const SINGLE = 1e-5;
const RATE = 12_800;
const options = { segmentLength: 1024 };

// One source heard at three places through different paths, each with noise of its own.
const source = gaussianNoise(60_000, 3);
const path = firFilter(firLowpass(1000, 2500, 60, RATE), source);
const own = gaussianNoise(60_000, 4);
const other = gaussianNoise(60_000, 5);
const a = source;
const b = path.map((value, n) => value + 0.1 * own[n]!);
const c = source.map((_, n) => 0.3 * (source[n - 5] ?? 0) + 0.5 * own[n]! + 0.2 * other[n]!);

let expected: Record<string, Float64Array>;
let matrix: CrossSpectralMatrix;

beforeAll(async () => {
  await loadSingleFft();
  matrix = crossSpectra([a, b, c], RATE, options);
  expected = runScipy(
    { a, b, c },
    `
settings = dict(fs=${RATE}, nperseg=1024)
paa, pbb, pcc = (signal.welch(v, **settings)[1] for v in (a, b, c))
gab, gac, gbc = (signal.csd(*v, **settings)[1] for v in ((a, b), (a, c), (b, c)))
cab, cac, cbc = (signal.coherence(*v, **settings)[1] for v in ((a, b), (a, c), (b, c)))
phase = np.angle(gab)
output_power = cab * pbb
# Partial coherence of b and c with a removed, from the inverse of the spectral matrix.
matrix = np.array([[paa, gab, gac], [gab.conj(), pbb, gbc], [gac.conj(), gbc.conj(), pcc]]).transpose(2, 0, 1)
inverse = np.linalg.inv(matrix)
partial = (np.abs(inverse[:, 1, 2]) ** 2 / (inverse[:, 1, 1].real * inverse[:, 2, 2].real))
`,
    ['pbb', 'gab', 'gbc', 'cab', 'cac', 'cbc', 'phase', 'output_power', 'partial'],
  );
});

test('auto and cross spectra, and their conjugates in the other direction', () => {
  expect(relativeError(autoSpectrum(matrix, 1), expected.pbb!)).toBeLessThan(DOUBLE);
  expect(relativeError(crossSpectrum(matrix, 0, 1), expected.gab!)).toBeLessThan(DOUBLE);
  expect(relativeError(crossSpectrum(matrix, 1, 2), expected.gbc!)).toBeLessThan(DOUBLE);
  const back = crossSpectrum(matrix, 1, 0).map((value, at) => (at % 2 === 1 ? -value : value));
  expect(relativeError(back, expected.gab!)).toBeLessThan(DOUBLE);
});

test('coherence of every pair', () => {
  expect(relativeError(coherence(matrix, 0, 1), expected.cab!)).toBeLessThan(DOUBLE);
  expect(relativeError(coherence(matrix, 2, 0), expected.cac!)).toBeLessThan(DOUBLE);
  expect(relativeError(coherence(matrix, 1, 2), expected.cbc!)).toBeLessThan(DOUBLE);
});

test('coherence in single precision, against one reference', () => {
  const inputs = [a, b, c].map((values) => Float32Array.from(values));
  const single = crossSpectra(inputs, RATE, { ...options, precision: 'single', reference: 0 });
  expect(relativeError(coherence(single, 0, 1), expected.cab!)).toBeLessThan(SINGLE);
  expect(relativeError(coherence(single, 2, 0), expected.cac!)).toBeLessThan(SINGLE);
  expect(() => coherence(single, 1, 2)).toThrow(/channels 1 and 2 was not measured/);
});

test('phase', () => {
  const ours = crossPhase_rad(matrix, 0, 1);
  // Compared as places on the circle: -π and π are the same.
  expect(relativeError(ours.map(Math.cos), expected.phase!.map(Math.cos))).toBeLessThan(DOUBLE);
  expect(relativeError(ours.map(Math.sin), expected.phase!.map(Math.sin))).toBeLessThan(DOUBLE);
});

test('coherent output power', () => {
  expect(relativeError(coherentOutputPower(matrix, 0, 1), expected.output_power!)).toBeLessThan(DOUBLE);
});

test('partial coherence equals that from the inverse spectral matrix', () => {
  const partial = coherence(conditionedOn(matrix, 0), 1, 2);
  expect(relativeError(partial, expected.partial!)).toBeLessThan(DOUBLE);
});
