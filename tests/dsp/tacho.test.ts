import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { motionFromSpeed, rateAt, turnsAtSamples } from '../../shared/dsp/speed-motion.ts';
import { motionFromPulses, repairPulses, TachoTracker, tachoEdges } from '../../shared/dsp/tacho.ts';
import { gaussianNoise } from '../reference/scipy/noise.ts';
import { notFinite, spoiled } from './arbitraries.ts';

const RATE = 8000;

/** Pulses of a shaft: raised for a tenth of each step, with flanks of two samples and a little noise. */
function pulses(turns: Float64Array, pulsesPerRev: number, noise = 0.01): Float64Array {
  const x = gaussianNoise(turns.length, 3);
  for (let n = 0; n < x.length; n++) {
    const phase = (turns[n]! * pulsesPerRev) % 1;
    const rate = n > 0 ? (turns[n]! - turns[n - 1]!) * pulsesPerRev : 1e-3;
    const up = Math.min(1, phase / (2 * rate));
    const down = Math.min(1, Math.max(0, (0.3 - phase) / (2 * rate)));
    x[n] = 0.1 + 0.6 * Math.min(up, down) + noise * x[n]!;
  }
  return x;
}

describe('tacho edges', () => {
  it('are found between the samples', () => {
    const motion = motionFromSpeed([0, 10], [9.7, 9.7]);
    const turns = turnsAtSamples(motion, 0, RATE, 10 * RATE);
    const edges = tachoEdges(pulses(turns, 2, 0), RATE);
    for (let i = 1; i < edges.length; i++) {
      // A hundredth of a sample.
      expect(Math.abs(edges[i]! - edges[i - 1]! - 1 / 19.4)).toBeLessThan(0.01 / RATE);
    }
  });

  it('there are none in silence or in a constant', () => {
    expect(tachoEdges(new Float64Array(100), RATE)).toHaveLength(0);
    expect(tachoEdges(new Float64Array(100).fill(0.7), RATE)).toHaveLength(0);
    expect(tachoEdges([1], RATE)).toHaveLength(0);
  });

  it('noise on a flank does not double them', () => {
    const turns = turnsAtSamples(motionFromSpeed([0, 5], [5, 12]), 0, RATE, 5 * RATE);
    const edges = tachoEdges(pulses(turns, 1, 0.03), RATE);
    // One at the start and one at the end of each whole turn.
    expect(edges.length).toBe(1 + Math.floor(turns[turns.length - 1]!));
  });

  it('NaN and infinity are refused', () => {
    fc.assert(
      fc.property(spoiled(50), (x) => {
        expect(() => tachoEdges(x, RATE)).toThrow(/tacho samples/);
      }),
    );
    expect(() => tachoEdges([], RATE)).toThrow(/empty/);
  });
});

describe('pulse repair', () => {
  const truth = Array.from({ length: 200 }, (_, i) => i * 0.05 + 0.0001 * Math.sin(i));

  it('puts in what is missing and takes out what is double, and counts both', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.integer({ min: 2, max: 18 }), { minLength: 0, maxLength: 6 }),
        fc.uniqueArray(fc.integer({ min: 2, max: 18 }), { minLength: 0, maxLength: 6 }),
        (missing, doubled) => {
          // One fault in every ten pulses at most, never beside one another.
          const gone = new Set(missing.map((k) => 10 * k));
          const extra = doubled.map((k) => truth[10 * k + 5]! + 0.015);
          const edges = [...truth.filter((_, i) => !gone.has(i)), ...extra].sort((a, b) => a - b);
          const repaired = repairPulses(edges);
          expect(repaired.missing).toBe(gone.size);
          expect(repaired.doubled).toBe(extra.length);
          expect(repaired.t_s).toHaveLength(truth.length);
          repaired.t_s.forEach((t, i) => {
            expect(Math.abs(t - truth[i]!)).toBeLessThan(0.001);
          });
        },
      ),
    );
  });

  it('follows a shaft that speeds up threefold', () => {
    const edges = Array.from({ length: 300 }, (_, i) => Math.log(1 + i * 0.01) * 10);
    expect(repairPulses(edges)).toMatchObject({ missing: 0, doubled: 0, gaps: [] });
  });

  it('names a gap that is too long to count through', () => {
    const edges = truth.filter((_, i) => i < 80 || i > 110);
    expect(repairPulses(edges).gaps).toHaveLength(1);
  });

  it('NaN and infinity are refused', () => {
    fc.assert(
      fc.property(notFinite, (bad) => {
        expect(() => repairPulses([0, bad, 2])).toThrow(/edges_s/);
      }),
    );
  });
});

describe('motion from pulses', () => {
  it('gives the rate of an uneven shaft to a tenth of a percent', () => {
    const t: number[] = [];
    const hz: number[] = [];
    for (let i = 0; i <= 300; i++) {
      t.push(i / 10);
      hz.push(12 + 5 * Math.sin(i / 30));
    }
    const truth = motionFromSpeed(t, hz);
    const turns = turnsAtSamples(truth, 0, RATE, 30 * RATE);
    const motion = motionFromPulses(repairPulses(tachoEdges(pulses(turns, 1), RATE)).t_s, 1);
    for (let s = 1; s < 29; s += 0.37)
      expect(Math.abs(rateAt(motion, s) / rateAt(truth, s) - 1)).toBeLessThan(1e-3);
  });

  it('needs three pulses that rise', () => {
    expect(() => motionFromPulses([0, 1], 1)).toThrow(/three/);
    expect(() => motionFromPulses([0, 1, 1], 1)).toThrow(/rise/);
    expect(() => motionFromPulses([0, 1, 2], 0)).toThrow(/pulsesPerRev/);
  });
});

describe('tacho tracker', () => {
  const turns = turnsAtSamples(motionFromSpeed([0, 20], [4, 20]), 0, RATE, 20 * RATE);
  const signal = pulses(turns, 4);

  it('gives the same speed and turns whatever the block length', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 5000 }), (block) => {
        const tracker = new TachoTracker(RATE, 4);
        for (let at = 0; at < signal.length; at += block) tracker.push(signal.subarray(at, at + block));
        expect(tracker.hz).toBeCloseTo(20, 0);
        const motion = tracker.motion()!;
        const last = motion.t_s.length - 1;
        // Turns count from the first pulse, one step after the shaft's start.
        expect(motion.turns[last]).toBeCloseTo(turns[Math.round(motion.t_s[last]! * RATE)]! - 0.25, 1);
        expect(tracker.repaired).toEqual({ missing: 0, doubled: 0 });
      }),
      { numRuns: 10 },
    );
  });

  it('counts and bridges a missing pulse', () => {
    const tracker = new TachoTracker(RATE, 4);
    const gone = signal.map((v, n) => (Math.floor(turns[n]! * 4) === 400 ? 0.1 : v));
    tracker.push(gone);
    expect(tracker.repaired).toEqual({ missing: 1, doubled: 0 });
    const motion = tracker.motion()!;
    const last = motion.t_s.length - 1;
    expect(motion.turns[last]).toBeCloseTo(turns[Math.round(motion.t_s[last]! * RATE)]! - 0.25, 1);
  });

  it('says that the shaft stands when the pulses stop, and nothing before there were any', () => {
    const tracker = new TachoTracker(RATE, 4);
    expect(tracker.hz).toBeNull();
    expect(tracker.motion()).toBeNull();
    tracker.push(signal);
    expect(tracker.hz).not.toBeNull();
    tracker.push(new Float64Array(3 * RATE).fill(0.1));
    expect(tracker.hz).toBeNull();
  });

  it('does not take noise for pulses', () => {
    const tracker = new TachoTracker(RATE, 1);
    tracker.push(gaussianNoise(10 * RATE, 8));
    expect(tracker.hz).toBeNull();
  });

  it('NaN and infinity are refused', () => {
    fc.assert(
      fc.property(spoiled(20), (x) => {
        expect(() => new TachoTracker(RATE, 1).push(x)).toThrow(/tacho block/);
      }),
    );
  });
});
