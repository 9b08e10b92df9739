import { beforeAll, describe, expect, it } from 'vitest';
import { FrontEnd, frontEndPlan, LEVEL_BANDS } from '../../shared/diagnosis/front-end.ts';
import { loadSingleFft } from '../../shared/dsp/fft-single.ts';
import { rms } from '../../shared/dsp/levels.ts';

const RATE = 48_000;

function digest(seconds: number, sample: (t: number) => number) {
  const samples = Float32Array.from({ length: seconds * RATE }, (_, i) => sample(i / RATE));
  const frontEnd = new FrontEnd(frontEndPlan(RATE), samples.length);
  // In uneven pieces, as a reader gives them.
  for (let at = 0; at < samples.length; at += 5000) {
    const part = samples.subarray(at, Math.min(samples.length, at + 5000));
    frontEnd.push(part, part.length);
  }
  return { samples, ...frontEnd.finish() };
}

/** Without the ends, where the filters see silence. */
const inside = (x: Float32Array, rate: number) => x.subarray(rate, x.length - rate);

describe('one pass over a channel', () => {
  beforeAll(loadSingleFft);

  it('keeps a low tone in the slower signal, in place and to 0.1 %', () => {
    const tone = (t: number) => Math.SQRT2 * Math.sin(2 * Math.PI * 310 * t);
    const { low, plan } = digest(4, tone);
    const rate = Math.round(plan.orderRate_Hz);
    const expected = Float32Array.from(low, (_, i) => tone(i / plan.orderRate_Hz));
    const error = inside(low, rate).map((x, i) => x - inside(expected, rate)[i]!);
    expect(rms(error)).toBeLessThan(1e-3);
  });

  it('gives the envelope of a steady tone as a constant equal to its mean square', () => {
    const { envelopes, plan } = digest(4, (t) => 0.2 * Math.sin(2 * Math.PI * 3001 * t));
    const envelope = inside(envelopes[2]!, Math.round(plan.envelopeRate_Hz));
    for (const value of envelope) expect(value).toBeCloseTo(0.02, 4);
  });

  it('follows a modulation with its depth', () => {
    const modulated = (t: number) =>
      (1 + 0.5 * Math.cos(2 * Math.PI * 40 * t)) * Math.sin(2 * Math.PI * 1700 * t);
    const { envelopes, plan } = digest(4, modulated);
    const expected = Float32Array.from(
      envelopes[1]!,
      (_, i) => 0.5 * (1 + 0.5 * Math.cos((2 * Math.PI * 40 * (i + 0.5)) / plan.envelopeRate_Hz)) ** 2,
    );
    const rate = Math.round(plan.envelopeRate_Hz);
    const error = inside(envelopes[1]!, rate).map((x, i) => x - inside(expected, rate)[i]!);
    expect(rms(error) / rms(expected)).toBeLessThan(0.05);
  });

  it('shares the power out to quarter-octave bands without loss', () => {
    let seed = 1;
    const noise = () => ((seed = (seed * 16807) % 2147483647) / 2147483647 - 0.5) * 0.1;
    const { bandPower, blocks, samples } = digest(4, noise);
    let sum = 0;
    for (let k = 0; k < LEVEL_BANDS; k++) {
      let mean = 0;
      for (let b = 2; b < blocks - 2; b++) mean += bandPower[b * LEVEL_BANDS + k]! / (blocks - 4);
      sum += mean;
    }
    // White noise: the bands from 25 Hz to 25 × 2^(35/4) Hz hold their share of the half rate.
    const share = (25 * 2 ** (LEVEL_BANDS / 4) - 25) / (RATE / 2);
    expect(10 * Math.log10(sum / (share * rms(samples) ** 2))).toBeCloseTo(0, 0.5);
  });

  it('refuses a rate at which nothing can be told', () => {
    expect(() => frontEndPlan(1000)).toThrow(/at least 2000/);
  });
});
