import { describe, expect, it } from 'vitest';
import { TapCheck } from '../../../electron/live/checks/tap-check.ts';
import { Random } from '../../../seeds/road-drive/random.ts';
import { english } from '../../../shared/messages/tell.ts';
import { add, RATE, restNoise, run, setting, tapResponses } from './signals.ts';

const POSITIONS = ['hub-rear-left', 'hub-rear-right', 'differential-rear-left', 'transmission'];

interface Tap {
  readonly seed: number;
  /** Place that is tapped. */
  readonly at: string;
  /** Which place each channel's lead really comes from. */
  readonly leads?: readonly string[];
  readonly peak?: number;
  readonly noise?: number;
  /** Leakage of every input into its neighbours, as a ratio. */
  readonly leakage?: number;
  readonly at_s?: readonly number[];
  /** Ratio by which each channel's pickup is more sensitive than its neighbour before it. */
  readonly unequal?: number;
}

/** Channels of a rig at rest in which somebody taps after two seconds. */
function tapped(tap: Tap): Float32Array[] {
  const { seed, at, leads = POSITIONS, peak = 0.2, noise = 2e-4, leakage = 0, at_s = [2], unequal = 1 } = tap;
  const responses = tapResponses(seed, at, POSITIONS);
  const own = leads.map((place, c) => {
    const random = new Random(seed, 'mounting', place);
    const samples = restNoise(3, noise * 10 ** (random.range(-6, 6) / 20), `${seed} ${c}`);
    const gain = peak * unequal ** c * 10 ** (random.range(-3, 3) / 20);
    for (const s of at_s) add(samples, responses[POSITIONS.indexOf(place)]!, Math.round(s * RATE), gain);
    return samples;
  });
  return own.map((samples, c) => {
    const mixed = samples.slice();
    for (const [o, other] of own.entries()) if (o !== c) add(mixed, other, 0, leakage);
    return mixed;
  });
}

const check = (expected: number, tap: Tap, fullScale: number | null = 200) =>
  run(new TapCheck(setting(POSITIONS, fullScale), expected), tapped(tap));

describe('tap check over simulated running gears', () => {
  const vehicles = Array.from({ length: 4 }, (_, i) => i + 1);

  it.each([
    ['known sensitivities', 200],
    ['levels re full scale', null],
  ])('%s: the tapped channel answers, never another one', (_, fullScale) => {
    let right = 0;
    for (const seed of vehicles) {
      for (const [c, at] of POSITIONS.entries()) {
        const result = check(c + 1, { seed, at }, fullScale);
        expect(result?.check === 'tap' && result.verdict === 'other').toBe(false);
        if (result?.check === 'tap' && result.verdict === 'right') right++;
      }
    }
    expect(right).toBeGreaterThanOrEqual(0.95 * vehicles.length * POSITIONS.length);
  });

  it('finds swapped leads and names both places', () => {
    const leads = ['hub-rear-right', 'hub-rear-left', 'differential-rear-left', 'transmission'];
    for (const seed of vehicles) {
      const result = check(1, { seed, at: 'hub-rear-left', leads });
      expect(result).toMatchObject({ verdict: 'other', answered: 2 });
      expect(english(result!.text)).toMatch(/Channel 2 answered, not 1.*Swap the leads/);
    }
  });

  it('is not misled by leakage between inputs of 34 dB, nor by a channel that is ten times quieter', () => {
    for (const seed of vehicles) {
      const result = check(1, { seed, at: 'hub-rear-left', leakage: 0.02, noise: 1e-5 });
      expect(result).toMatchObject({ verdict: 'right', answered: 1 });
    }
  });
});

describe('pickups of unknown sensitivity', () => {
  it('three times as sensitive from channel to channel: the first to feel it answers', () => {
    for (const seed of [1, 2, 3, 4]) {
      for (const [c, at] of POSITIONS.entries()) {
        const result = check(c + 1, { seed, at, unequal: 3, peak: 0.02, noise: 5e-5 }, null);
        expect(result?.check === 'tap' && result.verdict === 'other').toBe(false);
      }
    }
  });
});

describe('what is no tap', () => {
  it('says so when none came', () => {
    const silent = POSITIONS.map((_, c) => restNoise(31, 2e-4, `silent ${c}`));
    const result = run(new TapCheck(setting(POSITIONS), 1), silent);
    expect(result).toMatchObject({ verdict: 'unclear', answered: null });
    expect(english(result!.text)).toContain('No tap has been felt');
  });

  it('does not take a running engine or a shaken lead for a tap', () => {
    const shaken = POSITIONS.map((_, c) => {
      const samples = restNoise(10, 2e-4, `shaken ${c}`);
      const burst = restNoise(2, 0.05, `burst ${c}`);
      if (c === 1) add(samples, burst, 3 * RATE);
      return samples;
    });
    expect(run(new TapCheck(setting(POSITIONS), 1), shaken)).toBeNull();
  });

  it('waits for a second tap when two channels felt the first alike', () => {
    const samples = tapped({ seed: 3, at: 'hub-rear-left', at_s: [2.5] });
    const both = tapResponses(3, 'hub-rear-left', ['hub-rear-left'])[0]!;
    add(samples[0]!, both, 1.3 * RATE, 0.2);
    add(samples[1]!, both, 1.3 * RATE, 0.19);
    const tap = new TapCheck(setting(POSITIONS), 1);
    expect(
      run(
        tap,
        samples.map((s) => s.subarray(0, 2.2 * RATE)),
      ),
    ).toBeNull();
    expect(english(tap.state().text)).toContain('felt the tap alike');
    expect(
      run(
        tap,
        samples.map((s) => s.subarray(2.2 * RATE)),
      ),
    ).toMatchObject({ verdict: 'right' });
  });

  it('needs no more than one channel', () => {
    const samples = tapped({ seed: 4, at: 'hub-rear-left' }).slice(0, 1);
    const result = run(new TapCheck(setting(POSITIONS.slice(0, 1)), 1), samples);
    expect(result).toMatchObject({ verdict: 'right', margin_db: null });
  });

  it('gives the same answer whatever the size of the blocks', () => {
    const samples = tapped({ seed: 5, at: 'hub-rear-right' });
    const results = [64, 480, 4096].map((block) => run(new TapCheck(setting(POSITIONS), 2), samples, block));
    expect(results[1]).toEqual(results[0]);
    expect(results[2]).toEqual(results[0]);
  });
});
