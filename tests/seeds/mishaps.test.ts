import { expect, it } from 'vitest';
import {
  randomScenario,
  simulateVisit,
  withFullScaleInG,
  withoutSegments,
  withoutSpeed,
  withSpeedGap,
  withSwappedLeads,
  withSwaysNamedTheOtherWay,
} from '../../seeds/scenarios/index.ts';
import { VisitBundleSchema } from '../../shared/bundle/visit.ts';

const visit = simulateVisit(
  randomScenario(31, {
    sampleRate_Hz: 8000,
    durationS: 24,
    runs: 1,
    pickups: 2,
    tacho: false,
    badChannelChance: 0,
  }),
);
const run = visit.bundle.runs[0]!;

it('swaps the samples of two channels and leaves the list as it was', () => {
  const swapped = withSwappedLeads(visit, 0, 1, 2);
  expect(swapped.runs[0]!.channels[0]).toBe(visit.runs[0]!.channels[1]);
  expect(swapped.runs[0]!.channels[1]).toBe(visit.runs[0]!.channels[0]);
  expect(swapped.bundle).toBe(visit.bundle);
});

it('makes bundles that are wrong in one thing and still valid', () => {
  const [given] = run.channels;
  const [inG] = withFullScaleInG(visit).bundle.runs[0]!.channels;
  if (given?.role !== 'vibration' || inG?.role !== 'vibration')
    throw new Error('the first channel is a vibration');
  expect(given.fullScale_m_s2! / inG.fullScale_m_s2!).toBeCloseTo(9.80665, 9);

  expect(withoutSegments(visit).bundle.runs[0]!.segments).toEqual([]);
  expect(withoutSpeed(visit).bundle.runs[0]!.speed).toBeNull();

  const states = (of: typeof visit) => of.bundle.runs[0]!.segments.map((segment) => segment.state);
  expect(states(visit)).toContain('swayLeft');
  const turned = states(withSwaysNamedTheOtherWay(visit));
  expect(turned).toEqual(
    states(visit).map(
      (state) => ({ swayLeft: 'swayRight', swayRight: 'swayLeft' })[state as 'swayLeft'] ?? state,
    ),
  );

  const gap = withSpeedGap(visit, 2, 5).bundle.runs[0]!.speed!;
  expect(gap.t_s.some((t) => t >= 2 && t <= 5)).toBe(false);
  expect(gap.t_s.length).toBe(gap.v_km_h.length);
  expect(gap.t_s.length).toBeLessThan(run.speed!.t_s.length);

  for (const spoilt of [withFullScaleInG, withoutSegments, withoutSpeed, withSwaysNamedTheOtherWay]) {
    expect(VisitBundleSchema.safeParse(spoilt(visit).bundle).success).toBe(true);
  }
});
