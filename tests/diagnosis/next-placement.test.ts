import { describe, expect, it } from 'vitest';
import { nextPlacements } from '../../shared/diagnosis/next-placement.ts';
import { posterior } from '../../shared/diagnosis/posterior.ts';
import { type Position, SOURCES, type Source } from '../../shared/driveline/words.ts';
import { REAR_WHEEL_DRIVE } from './rear-wheel-drive.ts';

function next(probabilities: Partial<Record<Source, number>>, ...runs: Position[][]) {
  const after = {
    ...posterior([], REAR_WHEEL_DRIVE),
    probabilities: new Map(SOURCES.map((s) => [s, probabilities[s] ?? 0])),
  };
  return nextPlacements(after, REAR_WHEEL_DRIVE, 2, runs, []);
}

describe('two suspects that were never heard in one run', () => {
  const close = { engine: 0.5, transmission: 0.4, none: 0.1 };

  it('are heard side by side next', () => {
    const placements = next(close, ['transmission', 'hub-rear-left'], ['engine-mount', 'hub-rear-right']);
    expect(placements.map((p) => p.position).sort()).toEqual(['engine-mount', 'transmission']);
    expect(placements.map((p) => p.why.id)).toEqual(['next.sideBySide', 'next.sideBySide']);
  });

  it('and when one of them was never heard at all, the other is clamped again beside it', () => {
    const placements = next(close, ['transmission', 'hub-rear-left']);
    expect(placements.map((p) => p.position)).toEqual(['engine-mount', 'transmission']);
    expect(placements.map((p) => p.why.id)).toEqual(['next.suspectedMost', 'next.sideBySide']);
  });

  it('but a run that heard both, or a suspect that is hardly one, asks for nothing of the kind', () => {
    const ids = [
      ...next(close, ['transmission', 'engine-mount']),
      ...next({ engine: 0.94, transmission: 0.06 }, ['transmission', 'hub-rear-left'], ['engine-mount']),
    ].map((p) => p.why.id);
    expect(ids).not.toContain('next.sideBySide');
  });
});
