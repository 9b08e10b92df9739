import { describe, expect, it } from 'vitest';
import { runningGearNet } from '../../shared/diagnosis/graph.ts';
import { SURE, verdictOf as verdictWith } from '../../shared/diagnosis/verdict.ts';
import type { Position, Source } from '../../shared/driveline/words.ts';

const net = runningGearNet({ layout: 'rwd', electricDrive: false });

/** The verdict when the noise is loudest on the part itself. */
const verdictOf = (p: Map<Source, number>, n: typeof net, at: Position[], doubtful: boolean) =>
  verdictWith(p, n, at, true, doubtful);

/** Probabilities of a rear-wheel drive: what is not named shares the rest. */
function probabilities(named: Partial<Record<Source, number>>): Map<Source, number> {
  const all: Source[] = [
    'wheel-bearing-front-left',
    'wheel-bearing-rear-left',
    'wheel-bearing-rear-right',
    'differential-rear',
    'transmission',
    'none',
  ];
  const rest = 1 - Object.values(named).reduce((a, b) => a + b, 0);
  const others = all.filter((s) => named[s] === undefined);
  return new Map(all.map((s) => [s, named[s] ?? rest / others.length]));
}

describe('the verdict', () => {
  it('pinpoints what is sure with a pickup on the part, and not below or without', () => {
    const sure = probabilities({ 'differential-rear': SURE });
    expect(verdictOf(sure, net, ['differential-rear-left'], false).verdict).toBe('pinpointed');
    expect(
      verdictOf(probabilities({ 'differential-rear': SURE - 0.001 }), net, ['differential-rear-left'], false)
        .verdict,
    ).not.toBe('pinpointed');
    expect(verdictOf(sure, net, ['hub-rear-left', 'hub-rear-right'], false)).toMatchObject({
      verdict: 'narrowed',
      withheld: 'noPickupOnPart',
    });
  });

  it('never convicts the bearing of a driven wheel before the axle between the hubs was heard', () => {
    const sure = probabilities({ 'wheel-bearing-rear-left': 0.999 });
    const hubs = ['hub-rear-left', 'hub-rear-right'];
    expect(verdictOf(sure, net, hubs, false)).toMatchObject({
      verdict: 'narrowed',
      withheld: 'axleBetweenNotHeard',
    });
    expect(verdictOf(sure, net, [...hubs, 'differential-rear-pinion'], false).verdict).toBe('pinpointed');
  });

  it('convicts the bearing of a wheel that nothing drives from the hubs alone', () => {
    const sure = probabilities({ 'wheel-bearing-front-left': 0.98 });
    expect(verdictOf(sure, net, ['hub-front-left', 'hub-front-right'], false).verdict).toBe('pinpointed');
  });

  it('gives the set that is sure when it is small, and says "not yet" when it is not', () => {
    const two = verdictOf(
      probabilities({ 'wheel-bearing-rear-left': 0.6, 'differential-rear': 0.38 }),
      net,
      ['hub-rear-left'],
      false,
    );
    expect(two).toMatchObject({
      verdict: 'narrowed',
      set: ['wheel-bearing-rear-left', 'differential-rear'],
    });
    expect(verdictOf(probabilities({}), net, ['hub-rear-left'], false).verdict).toBe('notYet');
    // A set that holds the healthy vehicle has not shown that there is a fault at all.
    const maybe = probabilities({ 'wheel-bearing-rear-left': 0.8, none: 0.18 });
    expect(verdictOf(maybe, net, ['hub-rear-left'], false).verdict).toBe('notYet');
  });

  it('calls a vehicle healthy only when sure', () => {
    expect(verdictOf(probabilities({ none: 0.98 }), net, ['hub-rear-left'], false).verdict).toBe(
      'nothingAbnormal',
    );
    expect(verdictOf(probabilities({ none: 0.9 }), net, ['hub-rear-left'], false).verdict).toBe('notYet');
  });

  it('holds back while some of the noise is louder elsewhere than on the part', () => {
    const sure = probabilities({ 'differential-rear': 0.99 });
    expect(verdictWith(sure, net, ['differential-rear-left'], false, false)).toMatchObject({
      verdict: 'narrowed',
      withheld: 'louderElsewhere',
    });
  });

  it('settles nothing from a recording that is in doubt', () => {
    const sure = probabilities({ 'differential-rear': 0.99 });
    expect(verdictOf(sure, net, ['differential-rear-left'], true)).toMatchObject({
      verdict: 'narrowed',
      withheld: 'doubtfulRecording',
    });
    expect(verdictOf(probabilities({ none: 0.99 }), net, ['hub-rear-left'], true).verdict).toBe('notYet');
  });
});
