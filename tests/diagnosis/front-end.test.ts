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
const inside = (x: Float32Array, rate: number) => x.subarray(Math.round(rate), x.length - Math.round(rate));

/** Even noise between -1 and 1 (Park & Miller). */
function noise(): () => number {
  let state = 1;
  return () => (2 * (state = (state * 48271) % 2147483647)) / 2147483647 - 1;
}

/** Amplitude of a signal's swing at one frequency, and its mean. */
function swingAt(x: Float32Array, rate_Hz: number, f_Hz: number): { swing: number; mean: number } {
  const mean = x.reduce((a, b) => a + b, 0) / x.length;
  let re = 0;
  let im = 0;
  x.forEach((v, i) => {
    re += (v - mean) * Math.cos((2 * Math.PI * f_Hz * i) / rate_Hz);
    im += (v - mean) * Math.sin((2 * Math.PI * f_Hz * i) / rate_Hz);
  });
  return { swing: (2 * Math.hypot(re, im)) / x.length, mean };
}

describe('one pass over a channel', () => {
  beforeAll(loadSingleFft);

  it('keeps a low tone in the slower signal, in place and to 0.1 %', () => {
    const tone = (t: number) => Math.SQRT2 * Math.sin(2 * Math.PI * 310 * t);
    const { low, plan } = digest(4, tone);
    const rate = plan.orderRate_Hz;
    const expected = Float32Array.from(low, (_, i) => tone(i / plan.orderRate_Hz));
    const error = inside(low, rate).map((x, i) => x - inside(expected, rate)[i]!);
    expect(rms(error)).toBeLessThan(1e-3);
  });

  it('follows how noise swells and fades, with its depth', () => {
    const random = noise();
    const { envelopes, plan } = digest(8, (t) => (1 + 0.5 * Math.cos(2 * Math.PI * 40 * t)) * random());
    // (1 + ½ cos)² = 1.125 + cos + ⅛ cos 2×: the swing is 1 / 1.125 of the mean.
    const { swing, mean } = swingAt(inside(envelopes[1]!, plan.envelopeRate_Hz), plan.envelopeRate_Hz, 40);
    expect(Math.abs(swing / mean / (1 / 1.125) - 1)).toBeLessThan(0.1);
  });

  it('adds no swing of its own at the rate of its blocks', () => {
    const random = noise();
    const { envelopes, plan } = digest(8, () => random());
    for (const envelope of envelopes) {
      for (const blockRate of [plan.sampleRate_Hz / plan.hop, (0.5 * plan.sampleRate_Hz) / plan.hop]) {
        const { swing, mean } = swingAt(
          inside(envelope!, plan.envelopeRate_Hz),
          plan.envelopeRate_Hz,
          blockRate,
        );
        expect(swing / mean).toBeLessThan(0.05);
      }
    }
  });

  it('holds a tone down, so that it does not beat in the envelope of the noise around it', () => {
    const random = noise();
    const tone = (t: number) => (1 + Math.cos(2 * Math.PI * 12 * t)) * Math.sin(2 * Math.PI * 3001 * t);
    const { envelopes, plan } = digest(8, (t) => random() + 0.3 * tone(t));
    const { swing, mean } = swingAt(inside(envelopes[1]!, plan.envelopeRate_Hz), plan.envelopeRate_Hz, 12);
    // Left in, the tone would be two thirds of the power and make all of it swing by 0.9 of the mean.
    expect(swing / mean).toBeLessThan(0.2);
  });

  it('shares the power out to quarter-octave bands without loss', () => {
    const random = noise();
    const { bandPower, blocks, samples } = digest(4, () => 0.1 * random());
    let sum = 0;
    for (let k = 0; k < LEVEL_BANDS; k++) {
      let mean = 0;
      for (let b = 2; b < blocks - 2; b++) mean += bandPower[b * LEVEL_BANDS + k]! / (blocks - 4);
      sum += mean;
    }
    // White noise: the bands from 25 Hz to 25 × 2^(35/4) Hz hold their share of the half rate.
    const share = (25 * 2 ** (LEVEL_BANDS / 4) - 25) / (RATE / 2);
    expect(Math.abs(10 * Math.log10(sum / (share * rms(samples) ** 2)))).toBeLessThan(0.2);
  });

  it('refuses a rate at which nothing can be told', () => {
    expect(() => frontEndPlan(1000)).toThrow(/at least 2000/);
  });
});
