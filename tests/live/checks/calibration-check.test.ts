import { describe, expect, it } from 'vitest';
import { CalibrationCheck, REFERENCE_HZ } from '../../../electron/live/checks/calibration-check.ts';
import { english } from '../../../shared/messages/tell.ts';
import { add, RATE, restNoise, run, setting, tone } from './signals.ts';

const POSITIONS = ['hub-rear-left', 'hub-rear-right'];

function calibrate(own: Float32Array, rate = RATE, reference_m_s2 = 10) {
  const other = restNoise(own.length / rate, 0.1, 'the other channel', rate);
  const check = new CalibrationCheck(setting(POSITIONS, null, rate), 2, reference_m_s2);
  const result = run(check, [other, own], Math.round(rate / 100));
  if (result?.check !== 'calibration') throw new Error('the check did not end');
  return result;
}
const onShaker = (rms: number, hz = REFERENCE_HZ, rate = RATE) => {
  const samples = tone(6, hz, rms, rate);
  add(samples, restNoise(6, 1e-4, 'shaker', rate), 0);
  return samples;
};

describe('calibration with a reference shaker', () => {
  it('the reference is where 10 m/s² is 10 mm/s and 10 µm', () => {
    // Angular frequency 1000 rad/s (common practice for hand-held shakers): each integration divides by a thousand.
    const w = 2 * Math.PI * REFERENCE_HZ;
    expect(w).toBeCloseTo(1000, 9);
    expect(10 / w).toBeCloseTo(10e-3, 12);
    expect(10 / w / w).toBeCloseTo(10e-6, 15);
    expect(REFERENCE_HZ).toBeCloseTo(159.155, 3);
  });

  it.each([
    [44_100, 0.05],
    [48_000, 0.05],
    [96_000, 0.3],
  ])('at %d Hz gives the full scale within 0.05 dB', (rate, rms) => {
    const result = calibrate(onShaker(rms, REFERENCE_HZ, rate), rate);
    expect(result).toMatchObject({ verdict: 'calibrated', reason: null, channel: 2 });
    expect(Math.abs(20 * Math.log10(result.fullScale_m_s2! / (10 / rms)))).toBeLessThan(0.05);
    expect(result.frequency_Hz).toBeCloseTo(REFERENCE_HZ, 2);
  });

  it('takes a shaker that runs half a per cent off, and one of another level', () => {
    expect(calibrate(onShaker(0.05, REFERENCE_HZ * 1.005)).verdict).toBe('calibrated');
    const one_g = calibrate(onShaker(0.05), RATE, 9.80665);
    expect(one_g.fullScale_m_s2! / (9.80665 / 0.05)).toBeCloseTo(1, 2);
  });

  it.each<[string, () => Float32Array]>([
    ['noTone', () => restNoise(6, 0.01, 'nothing but noise')],
    ['noTone', () => new Float32Array(6 * RATE)],
    ['wrongFrequency', () => onShaker(0.05, 80)],
    ['wrongFrequency', () => onShaker(0.05, 50)],
    ['clipped', () => onShaker(0.9).map((x) => Math.max(-1, Math.min(1, x)))],
    [
      'unsteady',
      () => onShaker(0.05).map((x, i) => x * (1 + 0.1 * Math.sin((2 * Math.PI * 0.4 * i) / RATE))),
    ],
    [
      'impure',
      () => {
        const samples = onShaker(0.05);
        add(samples, tone(6, 700, 0.015), 0);
        return samples;
      },
    ],
  ])('refuses: %s', (reason, samples) => {
    const result = calibrate(samples());
    expect(result).toMatchObject({ verdict: 'refused', reason, fullScale_m_s2: null });
    expect(english(result.text)).toMatch(/\.$/);
  });

  it('refuses a channel that gives no numbers', () => {
    const samples = onShaker(0.05);
    samples[3 * RATE] = Number.NaN;
    expect(calibrate(samples)).toMatchObject({ verdict: 'refused' });
  });
});
