import { describe, expect, it } from 'vitest';
import { Dice } from '../../seeds/other-drives/dice.ts';
import { atOneGain, evidenceCut, evidenceWaveform } from '../../shared/diagnosis/evidence-sound.ts';
import { rms } from '../../shared/dsp/levels.ts';

const RATE = 8000;
const SECONDS = 6;
const FRAMES = RATE * SECONDS;
const AMPLITUDE = 0.02;

/** A wheel from 10 to 11 turns a second, in turns at each sample. */
const wheelTurns = Float64Array.from({ length: FRAMES }, (_, i) => {
  const t = i / RATE;
  return 10 * t + (0.5 * t * t) / SECONDS;
});

/** Gear mesh at order 41 in noise above its own level, with a neighbour at order 44 ten times as strong. */
function singing(): Float32Array {
  const dice = new Dice(5);
  return Float32Array.from(wheelTurns, (turns) => {
    const mesh = AMPLITUDE * Math.sin(2 * Math.PI * 41 * turns);
    const neighbour = 0.2 * Math.sin(2 * Math.PI * 44 * turns);
    return mesh + neighbour + 0.05 * dice.normal();
  });
}

/** Without the ends, where a filter has nothing on one side. */
const middle = (waveform: Float64Array) => waveform.subarray(FRAMES / 6, (5 * FRAMES) / 6);

const mesh = { kind: 'orders', order: 41, band_Hz: null } as const;

describe('an order', () => {
  it('is cut out of noise and neighbours at its own level', () => {
    const cut = evidenceCut(mesh, wheelTurns, true, RATE)!;
    const waveform = middle(evidenceWaveform(singing(), RATE, cut));
    // RMS of a sine is its amplitude over √2; what passes of the noise adds less than a tenth of a dB.
    expect(Math.abs(20 * Math.log10(rms(waveform) / (AMPLITUDE / Math.SQRT2)))).toBeLessThan(0.2);
  });

  it('cannot be cut out without speed, or beyond what the recording holds', () => {
    expect(evidenceCut(mesh, null, false, RATE)).toBeNull();
    expect(evidenceCut({ ...mesh, order: 400 }, wheelTurns, true, RATE)).toBeNull();
  });
});

it('a band passes what lies in it and nothing beside it', () => {
  const cut = evidenceCut({ kind: 'band', order: null, band_Hz: [500, 9000] }, null, false, RATE)!;
  const tone = (hz: number) =>
    Float32Array.from({ length: FRAMES }, (_, i) => Math.sin((2 * Math.PI * hz * i) / RATE));
  expect(rms(middle(evidenceWaveform(tone(1000), RATE, cut)))).toBeCloseTo(Math.SQRT1_2, 2);
  expect(rms(middle(evidenceWaveform(tone(125), RATE, cut)))).toBeLessThan(1e-4);
});

describe('two places at one gain', () => {
  const sine = (amplitude: number) =>
    Float64Array.from({ length: FRAMES }, (_, i) => amplitude * Math.sin(i / 7));

  it('keep their difference and are well heard, never clipped', () => {
    const { sounds, difference_db } = atOneGain(sine(3e-4), sine(3e-5));
    expect(difference_db).toBeCloseTo(20, 6);
    expect(20 * Math.log10(rms(sounds[0]) / rms(sounds[1]))).toBeCloseTo(20, 3);
    expect(rms(sounds[0])).toBeCloseTo(0.01, 4);
  });

  it('knocks keep their room', () => {
    const knocks = new Float64Array(FRAMES);
    for (let i = 0; i < FRAMES; i += 4000) knocks[i] = 50;
    const { sounds } = atOneGain(sine(1e-3), knocks);
    expect(Math.max(...sounds[1].map(Math.abs))).toBeLessThanOrEqual(0.0801);
  });

  it('silence stays silence', () => {
    const silent = new Float64Array(FRAMES);
    expect(atOneGain(silent, silent)).toMatchObject({ difference_db: 0 });
    expect(rms(atOneGain(sine(1), silent).sounds[1])).toBe(0);
  });
});
