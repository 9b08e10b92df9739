import { beforeAll, expect, test } from 'vitest';
import { prewhitened, realCepstrum } from '../../../shared/dsp/cepstrum.ts';
import { squaredEnvelopes } from '../../../shared/dsp/envelope.ts';
import { motionFromPulses } from '../../../shared/dsp/tacho.ts';
import { trackOrder, voldKalmanWeight } from '../../../shared/dsp/vold-kalman.ts';
import { gaussianNoise } from './noise.ts';
import { relativeError, runScipy } from './run.ts';

const DOUBLE = 1e-9;
const RATE = 2000;
const signal = gaussianNoise(2048, 21).map((v) => v + 0.2);
/** Turns of the order at each sample: 50 to 90 Hz. */
const angle = Float64Array.from({ length: 2048 }, (_, n) => (50 * n) / RATE + 0.5 * 20 * (n / RATE) ** 2);
/** A bandwidth wide enough that the envelope keeps the signal's own rate. */
const BANDWIDTH_HZ = 60;
const pulses = Float64Array.from({ length: 60 }, (_, i) => 0.1 * i + 0.02 * Math.sin(i / 5));

type Names = 'one' | 'two' | 'envelope' | 'white' | 'cepstrum' | 'slopes';
let scipy: Record<Names, Float64Array>;

beforeAll(() => {
  scipy = runScipy(
    {
      signal,
      angle,
      pulses,
      weights: Float64Array.of(
        voldKalmanWeight(BANDWIDTH_HZ, RATE, 1),
        voldKalmanWeight(BANDWIDTH_HZ, RATE, 2),
      ),
    },
    `
from scipy import sparse
from scipy.sparse import linalg
n = len(signal)
carrier = np.exp(2j * np.pi * angle)
def vold_kalman(poles):
    D = sparse.identity(n, format='csr')
    for _ in range(poles):
        D = D[1:] - D[:-1]
    A = sparse.identity(n) + weights[poles - 1] * (D.T @ D)
    envelope = linalg.spsolve(A.tocsc().astype(complex), 2 * signal * np.conj(carrier))
    return np.real(envelope * carrier)
one, two = vold_kalman(1), vold_kalman(2)

# One-sided spectrum of the band, transformed back at the full rate and thinned to the band's own rate.
X = np.fft.fft(signal)
f = np.arange(n) * ${RATE} / n
low, high = int(round(300 / ${RATE} * n)), int(round(556 / ${RATE} * n))
keep = np.zeros(n)
keep[low:high] = 2
small = 1 << int(np.ceil(np.log2(2 * (high - low))))
envelope = (np.abs(np.fft.ifft(X * keep)) ** 2)[::n // small]

Y = np.fft.rfft(signal - signal.mean())
white = np.fft.irfft(np.sqrt(n) * Y / np.abs(Y))
cepstrum = np.fft.irfft(np.log(np.abs(np.fft.rfft(signal))))[: n // 2 + 1]
slopes = interpolate.CubicSpline(pulses, np.arange(60) / 4, bc_type='natural')(pulses, 1)
`,
    ['one', 'two', 'envelope', 'white', 'cepstrum', 'slopes'],
  );
});

test('Vold-Kalman filter, one and two poles, against the same least squares solved by scipy.sparse', () => {
  expect(relativeError(trackOrder(signal, angle, RATE, BANDWIDTH_HZ, 1).waveform, scipy.one)).toBeLessThan(
    DOUBLE,
  );
  expect(relativeError(trackOrder(signal, angle, RATE, BANDWIDTH_HZ, 2).waveform, scipy.two)).toBeLessThan(
    DOUBLE,
  );
});

test('squared envelope of a band against numpy.fft', () => {
  const [envelope] = squaredEnvelopes(signal, RATE, [[300, 556]]);
  expect(relativeError(envelope!.samples, scipy.envelope)).toBeLessThan(DOUBLE);
});

test('pre-whitening and real cepstrum against numpy.fft', () => {
  // 0 Hz holds only the rounding of the mean, which has no phase.
  const white = prewhitened(signal);
  const withoutMean = (x: Float64Array) => {
    const mean = x.reduce((a, b) => a + b, 0) / x.length;
    return x.map((v) => v - mean);
  };
  expect(relativeError(withoutMean(white), withoutMean(scipy.white))).toBeLessThan(DOUBLE);
  expect(relativeError(realCepstrum(signal), scipy.cepstrum)).toBeLessThan(DOUBLE);
});

test('turning rate at the pulses against scipy.interpolate.CubicSpline, natural ends', () => {
  expect(relativeError(motionFromPulses(pulses, 4).hz, scipy.slopes)).toBeLessThan(DOUBLE);
});
