import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { loadSingleFft } from '../../shared/dsp/fft-single.ts';
import { orderLevels, speedOrderMap } from '../../shared/dsp/order-level.ts';
import { orderFrames, orderPeak, orderSpectrum } from '../../shared/dsp/order-spectrum.ts';
import { angleGrid, resampleToAngle, sampleOnGrid } from '../../shared/dsp/order-track.ts';
import { motionFromSpeed } from '../../shared/dsp/speed-motion.ts';
import { largest, largestDifference, spoiled } from './arbitraries.ts';
import { decibels, drive, recording } from './drives.ts';

const RATE = 6000;
const sweep = motionFromSpeed([-1, 21], [5, 17]);

describe('resampling to angle', () => {
  it('keeps an order’s level and place over a threefold sweep', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.5, max: 45, noNaN: true }), (order) => {
        const x = recording(sweep, 20, RATE, [{ order, rms: 0.3 }], 0);
        const spectrum = orderSpectrum(resampleToAngle(x, RATE, sweep, 128)!, 32);
        const peak = orderPeak(spectrum, order, 0.4)!;
        expect(Math.abs(peak.order - order)).toBeLessThan(0.01);
        expect(Math.abs(decibels(peak.rms / 0.3))).toBeLessThan(0.05);
      }),
      { numRuns: 12 },
    );
  });

  it('lets nothing fold back: an order above half the angle rate leaves 80 dB of silence', () => {
    // Order 120 folds to 8 at 128 samples a turn. The shaft turns at 10 Hz: 1280 samples a second from 6000.
    const steady = motionFromSpeed([0, 10], [10, 10]);
    const x = recording(steady, 10, RATE, [{ order: 120, rms: 1 }], 0);
    const spectrum = orderSpectrum(resampleToAngle(x, RATE, steady, 128)!, 16);
    const highest = spectrum.rms
      .slice(16, Math.round(50 / spectrum.step))
      .reduce((a, b) => Math.max(a, b), 0);
    expect(decibels(highest)).toBeLessThan(-80);
  });

  it('is linear', () => {
    const a = recording(sweep, 4, RATE, [{ order: 3, rms: 1 }], 0.2, 1);
    const b = recording(sweep, 4, RATE, [{ order: 7, rms: 1 }], 0.2, 2);
    const sum = resampleToAngle(
      a.map((v, i) => 2 * v + b[i]!),
      RATE,
      sweep,
      64,
    )!;
    const left = resampleToAngle(a, RATE, sweep, 64)!;
    const right = resampleToAngle(b, RATE, sweep, 64)!;
    sum.samples.forEach((v, i) => {
      expect(Math.abs(v - 2 * left.samples[i]! - right.samples[i]!)).toBeLessThan(1e-10);
    });
  });

  it('reads several signals together as each alone, as far as all of them reach', () => {
    const grid = angleGrid(sweep, 3, 64)!;
    const [a, b] = [1, 2].map((seed) => recording(sweep, 4, RATE, [{ order: 3, rms: 1 }], 0.2, seed)) as [
      Float64Array,
      Float64Array,
    ];
    for (const quality of ['fine', 'coarse'] as const) {
      const together = sampleOnGrid([a, b.subarray(0, 3 * RATE + 1)], RATE, grid, quality);
      for (const [c, x] of [a, b].entries()) {
        expect(together[c]).toEqual(sampleOnGrid([x.subarray(0, 3 * RATE + 1)], RATE, grid, quality)[0]);
      }
    }
  });

  it('says when motion and signal share less than a turn', () => {
    expect(resampleToAngle(new Float64Array(100), RATE, motionFromSpeed([50, 60], [5, 5]), 64)).toBeNull();
    expect(resampleToAngle([1], RATE, sweep, 64)).toBeNull();
  });

  it('NaN and infinity are refused', () => {
    fc.assert(
      fc.property(spoiled(40), (x) => {
        expect(() => resampleToAngle(x, RATE, sweep, 8)).toThrow(/samples/);
      }),
    );
    expect(() => resampleToAngle([], RATE, sweep, 8)).toThrow(/empty/);
  });
});

describe('order spectra', () => {
  const lines = [
    { order: 2, rms: 0.1 },
    { order: 41, rms: 0.02 },
  ];
  const x = recording(sweep, 20, RATE, lines, 0.01);
  const frames = orderFrames(resampleToAngle(x, RATE, sweep, 128)!, 16);

  it('noise has the power that it has: the sum of the bins over the noise bandwidth', () => {
    const steady = motionFromSpeed([0, 20], [10, 10]);
    const noise = recording(steady, 20, RATE, [], 0.5);
    const { rms, step, noiseBandwidth_bins } = orderSpectrum(resampleToAngle(noise, RATE, steady, 128)!, 16);
    const from = Math.round(5 / step);
    const to = Math.round(45 / step);
    let power = 0;
    for (let k = from; k < to; k++) power += rms[k]! ** 2 / noiseBandwidth_bins;
    // White noise of RMS 0.5 over 3000 Hz; orders 5 to 45 are 400 Hz.
    expect(decibels(Math.sqrt(power / (0.25 * (400 / 3000))))).toBeCloseTo(0, 0);
  });

  it('levels along the run and the map of speed against order agree with the truth', () => {
    const levels = orderLevels(frames, 2);
    levels.rms.forEach((rms) => {
      expect(Math.abs(decibels(rms / 0.1))).toBeLessThan(0.6);
    });
    levels.hz.forEach((hz, b) => {
      expect(Math.abs(hz - (5 + (12 * (levels.t_s[b]! + 1)) / 22))).toBeLessThan(0.1);
    });
    const map = speedOrderMap(frames, 6);
    const filled = map.rms.filter((row) => row !== null);
    expect(filled.length).toBeGreaterThan(3);
    for (const row of filled)
      expect(Math.abs(decibels(row[Math.round(41 / map.step)]! / 0.02))).toBeLessThan(1);
  });

  it('in single precision is the same to a millionth of the strongest bin', async () => {
    await loadSingleFft();
    const signal = resampleToAngle(x, RATE, sweep, 128)!;
    const single = orderFrames(signal, 16, 'single');
    expect(single.step).toBe(frames.step);
    single.power.forEach((power, b) => {
      expect(largestDifference(power, frames.power[b]!)).toBeLessThan(1e-6 * largest(frames.power[b]!));
    });
    // A signal shorter than the smallest transform is padded to it.
    const short = { ...signal, samples: signal.samples.subarray(0, 8), t_s: signal.t_s.subarray(0, 8) };
    expect(orderFrames(short, 16, 'single')).toMatchObject({ step: 4, hz: orderFrames(short, 16).hz });
  });

  it('there is no peak where the spectrum does not reach', () => {
    const spectrum = orderSpectrum(resampleToAngle(x, RATE, sweep, 32)!, 16);
    expect(orderPeak(spectrum, 200, 1)).toBeNull();
    expect(() => orderPeak(spectrum, Number.NaN, 1)).toThrow(/order/);
  });

  it('silence is silent', () => {
    const silent = orderSpectrum(resampleToAngle(new Float64Array(RATE * 5), RATE, sweep, 32)!, 8);
    expect(silent.rms.every((v) => v === 0)).toBe(true);
  });
});

describe('a steady drive', () => {
  it('keeps its speed classes apart even when there is only one', () => {
    const { motion } = drive(() => 70, 6);
    const x = recording(motion, 6, RATE, [{ order: 5, rms: 1 }], 0);
    const map = speedOrderMap(orderFrames(resampleToAngle(x, RATE, motion, 64)!, 8), 3);
    expect(map.rms.some((row) => row !== null)).toBe(true);
  });
});
