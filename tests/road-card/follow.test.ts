import { beforeEach, describe, expect, it } from 'vitest';
import type { DrivingState } from '../../shared/driveline/words.ts';
import { english } from '../../shared/messages/tell.ts';
import { RoadCardFollower } from '../../shared/road-card/follow.ts';
import type { Prompt, RoadCard } from '../../shared/road-card/manoeuvre.ts';
import { proposeRoadCard } from '../../shared/road-card/propose.ts';
import { emptyIntake } from '../../shared/visit-work/intake.ts';

const card: RoadCard = proposeRoadCard({
  heard: { ...emptyIntake().heard, speedFrom_km_h: 70, speedTo_km_h: 90 },
  layout: 'rwd',
  electricDrive: false,
  open: [
    { source: 'wheel-bearing-rear-left', probability: 0.5 },
    { source: 'differential-rear', probability: 0.5 },
  ],
  neutralAllowed: false,
  limit_km_h: 100,
});

let follower: RoadCardFollower;
let t_s: number;
let state: DrivingState;
let prompts: Prompt[];

beforeEach(() => {
  follower = new RoadCardFollower(card, []);
  t_s = 0;
  state = 'drive';
  prompts = [];
});

/** Drives on for some seconds, looked at four times a second. */
function drive(seconds: number, km_h: number | null, recording = true): Prompt[] {
  const said: Prompt[] = [];
  for (let k = 0; k < seconds * 4; k++) {
    t_s += 0.25;
    const step = follower.step({ t_s, km_h, drivingState: state, recording });
    if (step.state) state = step.state;
    said.push(...step.prompts);
  }
  prompts.push(...said);
  return said;
}

/** A speed that changes evenly, as a vehicle bus tells it. */
function sweep(seconds: number, from_km_h: number, to_km_h: number): Prompt[] {
  const said: Prompt[] = [];
  for (let k = 0; k < seconds; k++) {
    said.push(...drive(1, Math.round(from_km_h + ((to_km_h - from_km_h) * k) / seconds)));
  }
  return said;
}

describe('following the card by ear', () => {
  it('announces, says when it counts, when it is done, and what comes next', () => {
    expect(drive(1, 40).map((p) => [p.tone, p.manoeuvreId])).toEqual([['begin', 'steady-80']]);
    expect(drive(4, 80).map((p) => p.tone)).toEqual(['hold']);
    expect(drive(30, 80).map((p) => [p.tone, p.manoeuvreId])).toEqual([
      ['done', 'steady-80'],
      ['begin', card.manoeuvres[1]!.id],
    ]);
    expect(follower.progress()[0]).toMatchObject({ state: 'done' });
  });

  it('keys the state that it asks for, so that nobody has to', () => {
    follower.choose('swayLeft-80');
    drive(1, 80);
    expect(state).toBe('swayLeft');
  });

  it('calls back a speed that has strayed, and does not nag', () => {
    drive(5, 80);
    const said = drive(20, 100);
    expect(said.map((p) => english(p.say))).toEqual(['Back to 80 kilometres an hour.']);
    const held = follower.progress()[0]!.held_s;
    drive(5, 100);
    expect(follower.progress()[0]!.held_s).toBe(held);
  });

  it('does not take a held speed for a pull', () => {
    follower.choose('drive-70');
    drive(30, 80);
    expect(follower.progress().find((p) => p.id === 'drive-70')).toMatchObject({ held_s: 0 });
    sweep(12, 70, 90);
    expect(follower.progress().find((p) => p.id === 'drive-70')).toMatchObject({ state: 'done' });
  });

  it('counts nothing that is not recorded, and says so once in a while', () => {
    const said = drive(25, 80, false);
    expect(follower.progress()[0]!.held_s).toBe(0);
    expect(said.filter((p) => english(p.say).includes('Nothing is being recorded')).length).toBe(2);
  });

  it('without a speed source it goes by the keyed state', () => {
    drive(25, null);
    expect(follower.progress()[0]).toMatchObject({ state: 'done' });
  });

  it('asks for a lift-off again when it ran out before it was enough', () => {
    follower.choose('coast-90');
    drive(3, 90);
    sweep(5, 90, 60);
    const said = drive(8, 50);
    expect(said[0]!.tone).toBe('begin');
    expect(english(said[0]!.say)).toMatch(/^Once more\. Lift off/);
    sweep(8, 50, 92);
    sweep(12, 92, 66);
    expect(follower.progress().find((p) => p.id === 'coast-90')).toMatchObject({ state: 'done' });
  });

  it('goes over the whole card, can skip ahead, and comes back to what was passed over', () => {
    follower.choose(null);
    expect(follower.current).toBe(card.manoeuvres[1]!.id);
    for (let k = 0; k < 3 * card.manoeuvres.length && follower.current; k++) {
      const m = card.manoeuvres.find((x) => x.id === follower.current)!;
      const [from, to] = [m.speed_km_h, m.endSpeed_km_h];
      drive(3, from);
      if (from === to) drive(m.wanted_s, from);
      else sweep(m.wanted_s + 4, from, to);
    }
    expect(follower.current).toBeNull();
    expect(follower.progress().every((p) => p.state === 'done')).toBe(true);
    expect(english(prompts.at(-1)!.say)).toContain('last one');
    const held = follower.progress().filter((p) => p.held_s < p.wanted_s);
    expect(held).toEqual([]);
  });

  it('begins with what earlier runs have left', () => {
    const done = follower
      .progress()
      .map((p, i) => (i < 2 ? { ...p, held_s: 20, state: 'done' as const } : p));
    expect(new RoadCardFollower(card, done).current).toBe(card.manoeuvres[2]!.id);
  });
});
