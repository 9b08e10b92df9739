import { describe, expect, it } from 'vitest';
import { firstSign, PolarityCheck } from '../../../electron/live/checks/polarity-check.ts';
import { add, RATE, restNoise, run, setting, tapResponses } from './signals.ts';

const POSITIONS = ['hub-rear-left', 'hub-rear-right'];

/** Taps on channel 1 of a rig; `gains` by tap. */
function taps(gains: readonly number[]): Float32Array[] {
  const samples = POSITIONS.map((_, c) => restNoise(2 + gains.length, 2e-4, `polarity ${c}`));
  for (const [k, gain] of gains.entries()) {
    for (const [c, response] of tapResponses(7, 'hub-rear-left', POSITIONS).entries()) {
      add(samples[c]!, response, Math.round((1.5 + k) * RATE), gain);
    }
  }
  return samples;
}

const check = (gains: readonly number[]) => run(new PolarityCheck(setting(POSITIONS), 1), taps(gains));

describe('polarity check', () => {
  it('two taps that agree tell the direction', () => {
    const direction = firstSign(tapResponses(7, 'hub-rear-left', POSITIONS)[0]!);
    const [plus, minus] = direction === 1 ? ['positive', 'negative'] : ['negative', 'positive'];
    expect(check([0.2, 0.15])).toMatchObject({ check: 'polarity', channel: 1, verdict: plus });
    expect(check([-0.2, -0.15])).toMatchObject({ verdict: minus });
  });

  it('one tap is not enough, and taps that disagree leave it open', () => {
    expect(check([0.2])).toBeNull();
    expect(check([0.2, -0.2, 0.2, -0.2, 0.2, -0.2])).toMatchObject({ verdict: 'unclear' });
  });

  it('a constant offset and a ringing tail do not turn the sign', () => {
    const wave = Float64Array.from({ length: 500 }, (_, i) =>
      i < 50 ? 0.02 * Math.sin(i) : -Math.exp(-(i - 50) / 80) * Math.sin((i - 49) / 6),
    );
    expect(firstSign(wave)).toBe(-1);
    expect(firstSign(new Float64Array(10))).toBe(0);
  });
});
