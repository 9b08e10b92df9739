import { beforeEach, expect, it } from 'vitest';
import type { BlockWatcher } from '../../electron/live/live-session.ts';
import { RoadGuide } from '../../electron/live/road-guide.ts';
import type { AppEvent } from '../../shared/contract/requests.ts';
import type { DrivingState } from '../../shared/driveline/words.ts';
import { english } from '../../shared/messages/tell.ts';
import { proposeRoadCard } from '../../shared/road-card/propose.ts';
import { emptyIntake } from '../../shared/visit-work/intake.ts';

const RATE = 48_000;
const card = proposeRoadCard({
  heard: { ...emptyIntake().heard, speedFrom_km_h: 70, speedTo_km_h: 90 },
  layout: 'rwd',
  electricDrive: false,
  open: [{ source: 'wheel-bearing-rear-left', probability: 1 }],
  neutralAllowed: false,
  limit_km_h: 100,
});

let watcher: BlockWatcher | null;
let open: boolean;
let km_h: number | null;
let drivingState: DrivingState;
let events: AppEvent[];
let tones: string[];
let guide: RoadGuide;

beforeEach(() => {
  watcher = null;
  open = true;
  km_h = 80;
  drivingState = 'coast';
  events = [];
  tones = [];
  guide = new RoadGuide(
    {
      state: () => ({
        source: open ? { kind: 'device', name: 'test', sampleRate_Hz: RATE } : null,
        speed: { km_h },
        drivingState,
        recording: { runId: 1 },
      }),
      watch: (w) => {
        watcher = w;
        return () => {
          watcher = null;
        };
      },
      setDrivingState: (state) => {
        drivingState = state;
      },
      cue: (tone) => tones.push(tone),
    },
    (event) => events.push(event),
  );
});

/** Blocks of 20 ms; a lost one counts as time all the same. */
function drive(seconds: number): void {
  for (let k = 0; k < seconds * 50; k++) {
    const gapFrames = k % 7 === 0 ? 960 : 0;
    if (gapFrames > 0) k++;
    watcher?.onBlock({ firstFrame: 0, frames: 960, gapFrames, channels: [], receivedAt_s: 0 });
  }
}
const prompts = () => events.filter((e) => e.name === 'road.prompt').map((e) => e.payload);
const progress = () => events.filter((e) => e.name === 'road.progress').at(-1)!.payload;

it('speaks and sounds every prompt, keys the state, and tells the progress', () => {
  guide.follow(3, card, []);
  drive(4);
  expect(prompts().map((p) => p.tone)).toEqual(['begin', 'hold']);
  expect(tones).toEqual(['begin', 'hold']);
  expect(drivingState).toBe('drive');
  drive(22);
  expect(progress().manoeuvres[0]).toMatchObject({ id: 'steady-80', state: 'done' });
  expect(progress()).toMatchObject({ following: true, current: 'swayLeft-80' });
  expect(drivingState).toBe('swayLeft');
  expect(english(progress().missing[0]!)).toMatch(/Gentle right-hand bends/);
});

it('goes on with the card at another manoeuvre when asked, and stops when asked or when the source closes', () => {
  guide.follow(3, card, []);
  guide.choose('swayRight-80');
  drive(1);
  expect(progress().current).toBe('swayRight-80');
  watcher!.onChanged();
  expect(guide.progress(3)).not.toBeNull();
  expect(guide.progress(4)).toBeNull();
  open = false;
  watcher!.onChanged();
  expect(progress().following).toBe(false);
  expect(watcher).toBeNull();
  expect(() => guide.choose(null)).toThrow(/not being followed/);
  expect(() => guide.follow(3, card, [])).toThrow(/Open the interface first/);
});
