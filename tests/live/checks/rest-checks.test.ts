import { describe, expect, it } from 'vitest';
import { LeadCheck } from '../../../electron/live/checks/lead-check.ts';
import { NoiseFloorCheck } from '../../../electron/live/checks/noise-floor-check.ts';
import { Random } from '../../../seeds/road-drive/random.ts';
import { english } from '../../../shared/messages/tell.ts';
import { add, RATE, restNoise, run, setting, tone } from './signals.ts';

const POSITIONS = ['hub-rear-left', 'hub-rear-right', 'differential-rear-left', 'transmission'];
const FULL_SCALE = 200;

const noiseFloor = (samples: readonly Float32Array[], fullScale: number | null = FULL_SCALE) => {
  const result = run(new NoiseFloorCheck(setting(POSITIONS, fullScale)), samples);
  if (result?.check !== 'noiseFloor') throw new Error('the check did not end');
  return result;
};
const lead = (samples: readonly Float32Array[]) => {
  const result = run(new LeadCheck(setting(POSITIONS, FULL_SCALE)), samples);
  if (result?.check !== 'lead') throw new Error('the check did not end');
  return result;
};
const quiet = (seconds: number) => POSITIONS.map((_, c) => restNoise(seconds, 5e-5, `rest ${c}`));

describe('noise floor', () => {
  it('is the RMS of what is left at rest, in m/s² where the full scale is known', () => {
    // White noise of 1e-4 re full scale; the band up to 11.2 kHz of 24 kHz holds 46 % of its power (computed).
    const random = new Random('white');
    const white = POSITIONS.map(() => Float32Array.from({ length: 6 * RATE }, () => 1e-4 * random.normal()));
    const result = noiseFloor(white);
    const expected = 1e-4 * Math.sqrt((11_220 - 8.9) / (RATE / 2));
    for (const { rms, rms_m_s2 } of result.channels) {
      expect(Math.abs(20 * Math.log10(rms / expected))).toBeLessThan(0.3);
      expect(rms_m_s2).toBeCloseTo(rms * FULL_SCALE, 12);
    }
  });

  it('is not spoilt by a step beside the car, nor by a constant offset', () => {
    const samples = quiet(6);
    const before = noiseFloor(quiet(6)).channels[0]!.rms;
    add(samples[0]!, tone(0.3, 60, 0.1), 3 * RATE);
    for (let i = 0; i < samples[1]!.length; i++) samples[1]![i]! += 0.2;
    const result = noiseFloor(samples);
    expect(result.verdict).toBe('good');
    expect(Math.abs(20 * Math.log10(result.channels[0]!.rms / before))).toBeLessThan(0.5);
  });

  it('names the channels that are noisy or silent', () => {
    const samples = quiet(6);
    add(samples[1]!, restNoise(6, 5e-3, 'noisy'), 0);
    samples[2]!.fill(0);
    const result = noiseFloor(samples);
    expect(result.channels.map((c) => c.verdict)).toEqual(['quiet', 'high', 'dead', 'quiet']);
    expect(english(result.text)).toContain('channels 2, 3');
    expect(noiseFloor(samples, null).channels.map((c) => c.verdict)).toEqual([
      'quiet',
      'high',
      'dead',
      'quiet',
    ]);
  });
});

describe('lead check', () => {
  it('sound leads that are moved gently stay sound', () => {
    const samples = quiet(16);
    // A moved lead gives a little noise of its own.
    for (const [c, s] of samples.entries()) add(s, restNoise(2, 1e-4, `moved ${c}`), (2 + 3 * c) * RATE);
    expect(lead(samples)).toMatchObject({ verdict: 'good', text: { id: 'check.lead.good' } });
  });

  it.each<[string, number, (s: Float32Array) => void]>([
    ['dead', 1, (s) => s.fill(0)],
    [
      'loose',
      2,
      (s) => {
        for (let k = 0; k < 8; k++)
          add(s, restNoise(0.15, 0.05, `crackle ${k}`), Math.round((5 + 0.6 * k) * RATE));
      },
    ],
    ['hum', 3, (s) => add(s, tone(16, 50, 0.01), 0)],
    ['clipped', 4, (s) => s.set(s.map((x) => Math.max(-1, Math.min(1, 4e4 * x))))],
  ])('finds the %s lead and no other', (fault, channel, spoil) => {
    const samples = quiet(16);
    spoil(samples[channel - 1]!);
    const result = lead(samples);
    const found = result.channels.filter((c) => c.faults.length > 0);
    expect(found.map((c) => c.channel)).toEqual([channel]);
    expect(found[0]!.faults).toContain(fault);
    expect(result.verdict).toBe('doubtful');
  });

  it('leaves the stream’s samples as they are, numbers or not', () => {
    const samples = quiet(16);
    samples[0]![1000] = Number.NaN;
    const copy = samples.map((s) => s.slice());
    try {
      run(new LeadCheck(setting(POSITIONS)), samples);
    } catch {
      // A value that is no number may end the check; the samples stay the stream's.
    }
    expect(samples).toEqual(copy);
  });
});
