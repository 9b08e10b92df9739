import { beforeAll, expect, it } from 'vitest';
import { Dice } from '../../seeds/other-drives/dice.ts';
import { samplesOf } from '../../seeds/other-drives/drive-visit.ts';
import { heardTogether, TOGETHER_BANDS_HZ } from '../../shared/diagnosis/heard-together.ts';
import { digestRun } from '../../shared/diagnosis/run-digest.ts';
import { knownTurns } from '../../shared/diagnosis/shaft-turns.ts';
import { loadSingleFft } from '../../shared/dsp/fft-single.ts';

const RATE = 24_000;
const FRAMES = 8 * RATE;
const LATE_S = 0.002;

beforeAll(loadSingleFft);

/** One noise at two places, the second later and half as loud, each with some noise of its own; a third apart. */
async function digest(own: number) {
  const dice = new Dice(3);
  const noise = (): Float32Array => Float32Array.from({ length: FRAMES }, () => 0.1 * dice.normal());
  const made = noise();
  const late = Math.round(LATE_S * RATE);
  const [a, b, c] = [noise(), noise(), noise()];
  for (let i = 0; i < FRAMES; i++) {
    a[i] = made[i]! + own * a[i]!;
    b[i] = 0.5 * (i >= late ? made[i - late]! : 0) + 0.5 * own * b[i]!;
  }
  const channels = ['hub-rear-left', 'differential-rear-left', 'engine-mount'].map((position, i) => ({
    channel: i + 1,
    role: 'vibration' as const,
    position,
    fullScale_m_s2: 50,
  }));
  return digestRun({ file: 'run-1.wav', channels, speed: null, segments: [] }, samplesOf([a, b, c], RATE));
}

const shafts = knownTurns({ layout: 'fwd' }, null);
const WHOLE = { from_s: 0, to_s: 8, state: null, gearRatio: null, shafts, wheel_Hz: null };

it('finds what two pickups hear of one noise and which hears it first', async () => {
  const [ab, ac, bc] = heardTogether(0, await digest(1), [WHOLE]);
  // Signal and own noise of equal power at either: coherence 1/2 · 1/2 (Bendat & Piersol, Random Data, 6.1.4).
  for (let k = 0; k < TOGETHER_BANDS_HZ.length - 1; k++) expect(ab!.coherence[k]).toBeCloseTo(0.25, 1);
  expect(ab!.delay_s).toBeCloseTo(LATE_S, 4);
  for (const pair of [ac!, bc!]) expect(Math.max(...pair.coherence)).toBeLessThan(0.03);
});

it('has nothing to say of one pickup or of no stretch', async () => {
  const whole = await digest(1);
  expect(heardTogether(0, { ...whole, channels: whole.channels.slice(0, 1) }, [WHOLE])).toEqual([]);
  expect(heardTogether(0, whole, [])).toEqual([]);
});
