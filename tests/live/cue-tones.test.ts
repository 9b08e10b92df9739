import { describe, expect, it } from 'vitest';
import { CueTones } from '../../electron/live/cue-tones.ts';
import { TONES } from '../../shared/road-card/manoeuvre.ts';

const RATE = 48_000;
const FRAMES = 480;

function sounded(tone: (typeof TONES)[number], into = () => 0): number[] {
  const cues = new CueTones(RATE);
  cues.sound(tone);
  const all: number[] = [];
  for (let k = 0; k < 120; k++) {
    const sound = Float32Array.from({ length: FRAMES }, into);
    cues.addTo(sound, FRAMES);
    all.push(...sound);
  }
  return all;
}

describe('tones for those who must not read', () => {
  it.each(TONES)(
    '%s is heard, ends by itself within a second, and begins and ends without a click',
    (tone) => {
      const sound = sounded(tone);
      const last = sound.findLastIndex((x) => x !== 0);
      expect(last / RATE).toBeGreaterThan(0.1);
      expect(last / RATE).toBeLessThan(1);
      const steps = sound.map((x, i) => Math.abs(x - (sound[i - 1] ?? 0)));
      // The steepest step of a sine of 1320 Hz and amplitude 0.25 at 48 kHz (computed).
      expect(Math.max(...steps)).toBeLessThanOrEqual(0.25 * ((2 * Math.PI * 1320) / RATE) * 1.05);
    },
  );

  it('no two are alike', () => {
    const all = TONES.map((tone) => sounded(tone).join());
    expect(new Set(all).size).toBe(TONES.length);
  });

  it('adds to what is heard and never beyond full scale', () => {
    const loud = sounded('done', () => 0.95);
    expect(Math.max(...loud)).toBe(1);
    expect(loud.at(-1)).toBeCloseTo(0.95, 6);
  });
});
