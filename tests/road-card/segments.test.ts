import { describe, expect, it } from 'vitest';
import { demoScenario, RoadDrive, randomScenario } from '../../seeds/scenarios/index.ts';
import type { Segment, SpeedReadings } from '../../shared/bundle/visit.ts';
import type { DrivingState } from '../../shared/driveline/words.ts';
import { english } from '../../shared/messages/tell.ts';
import { progressOf, stillMissing } from '../../shared/road-card/progress.ts';
import { proposeRoadCard } from '../../shared/road-card/propose.ts';
import { steadySegments } from '../../shared/road-card/segments.ts';
import { emptyIntake } from '../../shared/visit-work/intake.ts';

/** Readings once a second, rounded to whole km/h and a second late, as a vehicle bus gives them. */
function readings(course: readonly { s: number; to_km_h: number }[]): SpeedReadings & { end_s: number } {
  const at: number[] = [];
  let v = course[0]!.to_km_h;
  for (const { s, to_km_h } of course) {
    for (let k = 0; k < s; k++) at.push(v + ((to_km_h - v) * k) / s);
    v = to_km_h;
  }
  const late = [at[0]!, ...at.slice(0, -1)];
  return { t_s: at.map((_, i) => i), v_km_h: late.map(Math.round), end_s: at.length };
}
const keyed = (
  state: DrivingState,
  from_s: number,
  to_s: number,
  gearRatio: number | null = null,
): Segment => ({
  from_s,
  to_s,
  state,
  gearRatio,
});

describe('steady stretches of a drive', () => {
  it('finds the held speeds and leaves out what lies between them', () => {
    const speed = readings([
      { s: 20, to_km_h: 60 },
      { s: 20, to_km_h: 60 },
      { s: 5, to_km_h: 90 },
      { s: 25, to_km_h: 90 },
    ]);
    const found = steadySegments(speed, [keyed('drive', 0, speed.end_s)], speed.end_s);
    const held = found.filter((f) => Math.abs(f.acceleration_m_s2) < 0.2);
    expect(held.map((f) => Math.round(f.mean_km_h / 5) * 5)).toEqual([60, 90]);
    for (const { segment } of held) expect(segment.state).toBe('drive');
    expect(held[0]!.segment.to_s).toBeLessThan(41);
    expect(held[1]!.segment.from_s).toBeGreaterThan(43);
  });

  it('tells coast from the speed itself, whatever was keyed, and leaves out the brake', () => {
    const speed = readings([
      { s: 15, to_km_h: 90 },
      // Engine braking in a low gear: 1.1 m/s².
      { s: 12, to_km_h: 42 },
      { s: 10, to_km_h: 42 },
      // The brake: 3 m/s².
      { s: 3, to_km_h: 10 },
    ]);
    const found = steadySegments(speed, [keyed('drive', 0, speed.end_s)], speed.end_s);
    const coast = found.filter((f) => f.segment.state === 'coast');
    expect(coast.length).toBeGreaterThan(0);
    expect(coast.every((f) => f.stateFrom === 'speed')).toBe(true);
    for (const { segment } of coast) {
      expect(segment.from_s).toBeGreaterThan(13);
      expect(segment.to_s).toBeLessThan(28.5);
    }
    expect(found.every((f) => f.segment.to_s <= 38)).toBe(true);
  });

  it('believes a keyed sway and a keyed float where the speed cannot tell', () => {
    const speed = readings([{ s: 40, to_km_h: 70 }]);
    const states = [keyed('swayLeft', 0, 13), keyed('swayRight', 13, 26), keyed('float', 26, 40)];
    const found = steadySegments(speed, states, 40);
    expect(found.map((f) => f.segment.state)).toEqual(['swayLeft', 'swayRight', 'float']);
    for (const [i, f] of found.entries()) {
      expect(f.segment.from_s).toBeGreaterThanOrEqual(states[i]!.from_s);
      expect(f.segment.to_s).toBeLessThanOrEqual(states[i]!.to_s);
    }
  });

  it('without a keyed state names none that the speed does not tell', () => {
    const speed = readings([{ s: 30, to_km_h: 80 }]);
    expect(steadySegments(speed, [], 30)).toEqual([]);
  });

  it('a gear change ends a stretch, standing still is none, and a few readings are too few', () => {
    const speed = readings([{ s: 40, to_km_h: 50 }]);
    const gears = [keyed('drive', 0, 20, 1.03), keyed('drive', 20, 40, 0.84)];
    expect(steadySegments(speed, gears, 40).map((f) => f.segment.gearRatio)).toEqual([1.03, 0.84]);
    const standing = readings([{ s: 40, to_km_h: 0 }]);
    expect(steadySegments(standing, [keyed('drive', 0, 40)], 40)).toEqual([]);
    expect(steadySegments({ t_s: [0, 1], v_km_h: [50, 50] }, [], 40)).toEqual([]);
    expect(steadySegments({ t_s: [], v_km_h: [] }, [], 0)).toEqual([]);
  });
});

/** Share of a stretch that lies within a true state of the simulated drive. */
const within = (found: Segment, truth: readonly Segment[], state: DrivingState): number =>
  truth
    .filter((t) => t.state === state)
    .reduce(
      (sum, t) => sum + Math.max(0, Math.min(found.to_s, t.to_s) - Math.max(found.from_s, t.from_s)),
      0,
    ) /
  (found.to_s - found.from_s);

describe('simulated drives', () => {
  it('the demo drive is cut where it was driven, from satellite readings 0.6 s late', () => {
    const { run } = new RoadDrive(demoScenario(), 0);
    const end_s = run.speed!.t_s.at(-1)!;
    const found = steadySegments(run.speed!, run.segments, end_s);
    const sum = found.reduce((total, f) => total + f.segment.to_s - f.segment.from_s, 0);
    const driven = run.segments.reduce((total, s) => total + s.to_s - s.from_s, 0);
    expect(sum).toBeGreaterThan(0.5 * driven);
    for (const { segment, stateFrom } of found) {
      // On the way from one state to the next the drive has no name, but the wheels pull or brake all the same.
      const passage = run.segments.every((s) => s.to_s <= segment.from_s || s.from_s >= segment.to_s);
      if (passage) expect(stateFrom).toBe('speed');
      else expect(within(segment, run.segments, segment.state)).toBeGreaterThan(0.9);
    }
    expect(new Set(found.map((f) => f.segment.state))).toEqual(
      new Set(['drive', 'float', 'coast', 'swayLeft', 'swayRight']),
    );
  });

  it('what the speed tells by itself is right in 40 random drives, nothing being keyed', () => {
    let told = 0;
    let wrong = 0;
    for (let seed = 1; seed <= 40; seed++) {
      const { run } = new RoadDrive(
        randomScenario(seed, { durationS: 30, runs: 1, pickups: 2, tacho: false }),
        0,
      );
      if (!run.speed) continue;
      for (const { segment } of steadySegments(run.speed, [], run.speed.t_s.at(-1)!)) {
        const states = run.segments.filter((s) => s.from_s < segment.to_s && s.to_s > segment.from_s);
        if (states.length === 0) continue;
        told++;
        const other = segment.state === 'drive' ? 'coast' : 'drive';
        if (within(segment, run.segments, other) > 0.3) wrong++;
      }
    }
    expect(told).toBeGreaterThan(5);
    expect(wrong).toBe(0);
  });
});

describe('how far the card is driven', () => {
  const card = proposeRoadCard({
    heard: { ...emptyIntake().heard, speedFrom_km_h: 70, speedTo_km_h: 90 },
    layout: 'rwd',
    electricDrive: false,
    open: null,
    neutralAllowed: false,
    limit_km_h: 100,
  });
  const stretch = (
    state: DrivingState,
    s: number,
    mean_km_h: number,
    gearRatio: number | null = null,
    acceleration_m_s2 = state === 'coast' ? -0.6 : 0,
  ) => ({
    segment: { from_s: 0, to_s: s, state, gearRatio },
    mean_km_h,
    acceleration_m_s2,
    stateFrom: 'keyed' as const,
  });

  it('nothing driven: everything is missing, each with its reason', () => {
    const missing = stillMissing(card, progressOf(card, []));
    expect(missing).toHaveLength(card.manoeuvres.length);
    expect(english(missing[0]!)).toMatch(/^Still missing: Hold 80 km\/h/);
  });

  it('adds up over stretches and runs, at the right state and speed only', () => {
    const found = [
      stretch('drive', 9, 79),
      stretch('drive', 9, 82),
      stretch('coast', 4, 80),
      stretch('float', 9, 130),
    ];
    const by = Object.fromEntries(progressOf(card, found).map((p) => [p.id, p]));
    expect(by['steady-80']).toMatchObject({ held_s: 18, state: 'done' });
    expect(by['coast-90']).toMatchObject({ held_s: 4, state: 'underWay' });
    expect(by['float-80']).toMatchObject({ held_s: 0, state: 'missing' });
    expect(stillMissing(card, Object.values(by)).map(english).join('\n')).toMatch(/4 s more of: Lift off/);
  });

  it('another gear counts only where the gear is known to be lower', () => {
    const usual = stretch('drive', 15, 80, 0.84);
    const state = (found: Parameters<typeof progressOf>[1]) =>
      progressOf(card, found).find((p) => p.id === 'otherGear-80')!.state;
    expect(state([usual])).toBe('missing');
    expect(state([usual, stretch('drive', 15, 80, 1.03)])).toBe('done');
    expect(state([usual, stretch('drive', 15, 80)])).toBe('missing');
  });
});
