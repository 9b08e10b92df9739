import { beforeEach, expect, it } from 'vitest';
import type { Garage } from '../../db/open.ts';
import { VisitDesk } from '../../electron/visit-work/visit-desk.ts';
import type { LiveState } from '../../shared/contract/live.ts';
import { newGarage } from '../db/temporary.ts';

const RATE = 48_000;

let garage: Garage;
let desk: VisitDesk;
let runId: number;

beforeEach(() => {
  garage = newGarage();
  desk = new VisitDesk(garage);
  const { visitId } = desk.begin(null);
  runId = garage.runs.start({
    visitId,
    startedAt: '2026-11-25T10:00:00Z',
    file: 'run.wav',
    sampleRate_Hz: RATE,
    channels: [{ channel: 1, role: 'vibration', position: 'hub-rear-left' }],
    orderLines: [],
  }).id;
  const t_s = Array.from({ length: 61 }, (_, i) => i);
  // Held for 25 s, up to 90 within 6 s, held again.
  garage.runs.addSpeed(runId, {
    t_s,
    v_km_h: t_s.map((t) => (t < 25 ? 60 : t < 31 ? 60 + 5 * (t - 25) : 90)),
  });
});

const recording = (from: LiveState['speed']['from'], km_h: number | null = 60) =>
  desk.onLiveState({ recording: { runId }, speed: { from, km_h } });
const ended = () => desk.onLiveState({ recording: null, speed: { from: 'hand', km_h: null } });
/** As the live session does: the state that was keyed goes over the whole run. */
const finish = (seconds = 60) => {
  garage.runs.addSegment(runId, { from_s: 0, to_s: seconds, state: 'drive', gearRatio: 0.84 });
  garage.runs.finish(runId, seconds * RATE);
};
const segments = () => garage.runs.get(runId).segments;

it('a finished run is cut at its steady stretches, once', () => {
  recording('satellite');
  finish();
  ended();
  const cut = segments();
  expect(cut.map((s) => Math.round(s.from_s / 5) * 5)).toEqual(expect.arrayContaining([0, 30]));
  expect(cut.every((s) => s.state === 'drive' && s.gearRatio === 0.84)).toBe(true);
  expect(cut.find((s) => s.from_s < 5)!.to_s).toBeLessThan(26);
  desk = new VisitDesk(garage);
  expect(desk.segments(runId).map((f) => f.segment.from_s)).toEqual(cut.map((s) => s.from_s));
  ended();
  expect(segments()).toEqual(cut);
});

it('waits until the recording is complete', () => {
  recording('bus');
  ended();
  expect(segments()).toEqual([]);
  finish();
  ended();
  expect(segments().length).toBeGreaterThan(1);
});

it('a speed that was typed in says what was meant, not what was driven: what was keyed stays', () => {
  recording('hand');
  finish();
  ended();
  expect(segments()).toEqual([{ from_s: 0, to_s: 60, state: 'drive', gearRatio: 0.84 }]);
});

it('a run that is too short for a stretch keeps what was keyed', () => {
  recording('satellite');
  finish(2);
  ended();
  expect(segments()).toEqual([{ from_s: 0, to_s: 2, state: 'drive', gearRatio: 0.84 }]);
});
