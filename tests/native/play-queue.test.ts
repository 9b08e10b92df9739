import { expect, test } from 'vitest';
import { PlayQueue } from '../../native/output/play-queue.ts';

const sine = (rate_Hz: number, frequency_Hz: number, from: number, frames: number) =>
  Float32Array.from(
    { length: frames },
    (_, i) => 0.5 * Math.sin((2 * Math.PI * frequency_Hz * (from + i)) / rate_Hz),
  );

/**
 * Pushes and pulls blocks of 10 ms; `drift` lets the output's clock run fast or slow.
 * @returns the output of the last half
 */
function run(inRate: number, outRate: number, seconds: number, frequency_Hz: number, drift = 0) {
  const queue = new PlayQueue(inRate, outRate);
  const played: number[] = [];
  const block = new Float32Array(outRate / 100);
  let pushed = 0;
  for (let t = 0, due = 0; t < seconds; t += 0.01) {
    queue.push(sine(inRate, frequency_Hz, pushed, inRate / 100));
    pushed += inRate / 100;
    for (due += 1 + drift; due >= 1; due--) {
      queue.pull(block);
      if (t > seconds / 2) played.push(...block);
    }
  }
  return { queue, played };
}

/** The sine nearest to the samples (least squares, the trim may have moved its frequency by 0.5 %), and the rest. */
function nearestSine(samples: number[], rate_Hz: number, frequency_Hz: number) {
  let best = { amplitude: 0, snr_db: Number.NEGATIVE_INFINITY };
  for (let trim = -0.005; trim <= 0.005; trim += 0.00001) {
    const w = (2 * Math.PI * frequency_Hz * (1 + trim)) / rate_Hz;
    let [cc, ss, cs, xc, xs, xx] = [0, 0, 0, 0, 0, 0];
    samples.forEach((x, i) => {
      const c = Math.cos(w * i);
      const s = Math.sin(w * i);
      cc += c * c;
      ss += s * s;
      cs += c * s;
      xc += x * c;
      xs += x * s;
      xx += x * x;
    });
    const det = cc * ss - cs * cs;
    const a = (xc * ss - xs * cs) / det;
    const b = (xs * cc - xc * cs) / det;
    const explained = a * xc + b * xs;
    const snr_db = 10 * Math.log10(explained / (xx - explained));
    if (snr_db > best.snr_db) best = { amplitude: Math.hypot(a, b), snr_db };
  }
  return best;
}

test.each([
  [48_000, 48_000, 1000],
  [44_100, 48_000, 1000],
  [44_100, 48_000, 10_000],
  [96_000, 48_000, 5000],
  [48_000, 44_100, 997],
])(
  '%i Hz is played at %i Hz: a tone of %i Hz keeps its level and gains no other',
  (inRate, outRate, tone) => {
    const { played, queue } = run(inRate, outRate, 2, tone);
    // The last block alone: from block to block the trim may change, by less than anybody hears.
    const { amplitude, snr_db } = nearestSine(played.slice(-outRate / 100), outRate, tone);
    expect(amplitude).toBeCloseTo(0.5, 2);
    expect(snr_db).toBeGreaterThan(50);
    expect(queue.starved).toBe(0);
  },
);

test('a tone above the output’s range is not folded into it', () => {
  const { played } = run(96_000, 48_000, 1, 30_000);
  expect(Math.sqrt(played.reduce((sum, x) => sum + x * x, 0) / played.length)).toBeLessThan(
    0.5 * 10 ** (-60 / 20),
  );
});

test.each([2e-4, -2e-4])('clocks that differ by %f neither starve nor flood the queue', (drift) => {
  const { queue, played } = run(48_000, 48_000, 30, 200, drift);
  expect(queue.starved).toBe(0);
  expect(queue.fill_s).toBeGreaterThan(0.008);
  expect(queue.fill_s).toBeLessThan(0.035);
  // No click: no step larger than the tone itself makes.
  const step = played.reduce((worst, x, i) => Math.max(worst, i ? Math.abs(x - played[i - 1]!) : 0), 0);
  expect(step).toBeLessThan(0.5 * ((2 * Math.PI * 200) / 48_000) * 1.05);
});

test('when nothing comes it plays silence, counts it, and goes on without a click', () => {
  const queue = new PlayQueue(48_000, 48_000);
  const block = new Float32Array(480);
  const played: number[] = [];
  for (let i = 0; i < 100; i++) {
    if (i < 40 || i > 60) queue.push(sine(48_000, 100, i * 480, 480));
    queue.pull(block);
    played.push(...block);
  }
  expect(queue.starved).toBe(1);
  expect(Math.max(...played.slice(50 * 480, 55 * 480).map(Math.abs))).toBeLessThan(1e-6);
  expect(Math.max(...played.slice(-480 * 20).map(Math.abs))).toBeGreaterThan(0.49);
  const step = played.reduce((worst, x, i) => Math.max(worst, i ? Math.abs(x - played[i - 1]!) : 0), 0);
  expect(step).toBeLessThan(0.03);
});

test('a backlog is skipped, so that what is heard is what happens now', () => {
  const queue = new PlayQueue(48_000, 48_000);
  queue.push(new Float32Array(24_000));
  expect(queue.fill_s).toBeLessThan(0.06);
});
