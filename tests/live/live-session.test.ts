import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { type LiveEdges, LiveError, LiveSession, type RunStart } from '../../electron/live/live-session.ts';
import type { CaptureListener, CaptureSource } from '../../native/capture/capture-source.ts';
import { openWav } from '../../native/wav/wav-reader.ts';
import type { BundleChannel, Segment, SpeedReadings } from '../../shared/bundle/visit.ts';
import type { Gap, Mark, RunSecond } from '../../shared/contract/garage.ts';
import type { LiveState } from '../../shared/contract/live.ts';
import type { AppEvent } from '../../shared/contract/requests.ts';
import { message } from '../../shared/messages/message.ts';
import { english } from '../../shared/messages/tell.ts';
import { temporaryFolder } from '../db/temporary.ts';

const RATE = 48_000;
const FRAMES = 480;

const channels: BundleChannel[] = ['hub-rear-left', 'differential-rear-left', 'hub-rear-right'].map(
  (position, i) => ({
    channel: i + 1,
    role: 'vibration',
    position,
    fullScale_m_s2: 100,
  }),
);

/** A source that gives a block whenever the test says so: a steady value per channel, told apart by its size. */
class HandSource implements CaptureSource {
  readonly format = { channels: 3, sampleRate_Hz: RATE, bits: 24 as const };
  listener: CaptureListener | null = null;
  stopped = false;
  #frame = 0;
  async start(listener: CaptureListener) {
    this.listener = listener;
  }
  async stop() {
    this.stopped = true;
  }
  give(blocks: number, gapFrames = 0) {
    for (let i = 0; i < blocks; i++) {
      const gap = i === 0 ? gapFrames : 0;
      this.#frame += gap;
      const tone = (amplitude: number) =>
        Float32Array.from(
          { length: FRAMES },
          (_, n) => amplitude * Math.sin((2 * Math.PI * 1000 * n) / RATE),
        );
      this.listener!.onBlock({
        firstFrame: this.#frame,
        frames: FRAMES,
        gapFrames: gap,
        channels: [tone(0.01), tone(0.02), tone(0.04)],
        receivedAt_s: 0,
      });
      this.#frame += FRAMES;
    }
  }
}

let source: HandSource;
let session: LiveSession;
let events: AppEvent[];
let log: {
  seconds: RunSecond[];
  marks: Mark[];
  gaps: Gap[];
  speed: SpeedReadings[];
  segments: Segment[];
  finished: number | null;
  brokenOff: number | null;
};
let heard: Float32Array[];
let started: RunStart[];
let outputFails: boolean;
let free: number;
let path: string;

beforeEach(() => {
  source = new HandSource();
  events = [];
  heard = [];
  started = [];
  outputFails = false;
  free = 1e12;
  path = join(temporaryFolder(), 'run.wav');
  log = { seconds: [], marks: [], gaps: [], speed: [], segments: [], finished: null, brokenOff: null };
  const edges: LiveEdges = {
    openSource: async () => ({
      kind: 'device',
      name: 'test interface',
      source,
      channels,
      vehicle: null,
      startsAt_s: 0,
      speedAt: null,
    }),
    openOutput: async () => {
      if (outputFails) throw new Error('No sound output was found; plug one in.');
      return { write: (samples) => heard.push(samples.slice()), close: async () => {} };
    },
    newRecording: async () => ({ startedAt: '2026-01-01T00:00:00Z', path }),
    startRun: (start) => {
      started.push(start);
      return {
        runId: 7,
        visitId: 3,
        vehicleLabel: 'test car',
        startedAt: start.startedAt,
        log: {
          addSecond: (second) => log.seconds.push(second),
          addMark: (mark) => log.marks.push(mark),
          addGap: (gap) => log.gaps.push(gap),
          addSpeed: (readings) => log.speed.push(readings),
          addSegment: (segment) => log.segments.push(segment),
          finish: (frames) => {
            log.finished = frames;
          },
          breakOff: (frames) => {
            log.brokenOff = frames;
          },
        },
      };
    },
    vehicleLabel: () => 'test car',
    freeBytes: async () => free,
    publish: (event) => events.push(event),
    now_s: () => 0,
  };
  session = new LiveSession(edges);
});

const open = () => session.open({ source: { kind: 'demo' }, visitId: null, channels: [] });
const lastState = (): LiveState => events.filter((e) => e.name === 'live.state').at(-1)!.payload;

describe('listening', () => {
  it('begins with the first pickup, follows numbers and arrows, and flips between the last two', async () => {
    await open();
    expect(session.state().heard).toBe(1);
    session.hear({ channel: 3 });
    session.hear({ step: 1 });
    expect(session.state()).toMatchObject({ heard: 1, heardBefore: 3 });
    session.hearPrevious();
    expect(session.state()).toMatchObject({ heard: 3, heardBefore: 1 });
    session.hear({ channel: 9 });
    expect(session.state().heard).toBe(3);
  });

  it('plays every channel with the same gain and fades without a click', async () => {
    await open();
    await session.listen({ gain_db: 0 });
    source.give(50);
    const rms = (blocks: Float32Array[]) =>
      Math.sqrt(blocks.flatMap((b) => [...b]).reduce((s, x) => s + x * x, 0) / (blocks.length * FRAMES));
    const first = rms(heard.slice(-10));
    session.hear({ channel: 3 });
    heard.length = 0;
    source.give(50);
    expect(rms(heard.slice(-10)) / first).toBeCloseTo(4, 1);
    // No step larger than the tone itself makes at its loudest: 2π f/fs of the amplitude, with a margin for the fade.
    const all = heard.flatMap((b) => [...b]);
    const steepest = Math.max(...all.slice(1).map((x, i) => Math.abs(x - all[i]!)));
    expect(steepest).toBeLessThan(0.04 * ((2 * Math.PI * 1000) / RATE) * 1.1);
  });

  it('says what is wrong with the output and goes on measuring', async () => {
    outputFails = true;
    await open();
    source.give(10);
    expect(english(session.state().listening.problem!)).toBe('No sound output was found; plug one in.');
    expect(events.some((e) => e.name === 'live.levels')).toBe(true);
  });
});

describe('recording', () => {
  it('keeps samples, seconds, marks, gaps and segments', async () => {
    await open();
    source.give(10);
    await session.record(true);
    expect(lastState().phase).toBe('recording');
    source.give(150);
    session.mark('bump');
    session.setDrivingState('coast');
    source.give(100, 4800);
    await session.record(false);

    expect(started[0]!.channels).toEqual(channels);
    expect(log.finished).toBe(250 * FRAMES + 4800);
    expect(log.marks).toEqual([{ at_s: 1.5, text: 'bump' }]);
    expect(log.gaps).toEqual([{ firstFrame: 150 * FRAMES, frames: 4800 }]);
    expect(log.segments.map((s) => [s.state, s.from_s, s.to_s])).toEqual([
      ['drive', 0, 1.5],
      ['coast', 1.5, 2.6],
    ]);
    expect(log.seconds.map((s) => s.second)).toEqual([0, 1]);
    expect(log.seconds[0]!.rms[2]).toBeCloseTo(0.04 / Math.SQRT2, 3);

    const wav = await openWav(path);
    const read = Array.from({ length: 3 }, () => new Float32Array(5000));
    await wav.read(150 * FRAMES - 100, 5000, read);
    expect(read[2]!.slice(100, 4900).every((x) => x === 0)).toBe(true);
    expect(wav.frames).toBe(log.finished);
    await wav.close();
  });

  it('does not begin on a full disk, and a mark needs a recording', async () => {
    await open();
    free = 1e6;
    await expect(session.record(true)).rejects.toThrow(/disk is full/);
    expect(session.state().phase).toBe('watching');
    expect(() => session.mark('x')).toThrow(LiveError);
  });

  it('ends with the source, complete', async () => {
    await open();
    await session.record(true);
    source.give(100);
    source.listener!.onEvent({ kind: 'ended' });
    await session.close();
    expect(log.finished).toBe(100 * FRAMES);
    expect(session.state().phase).toBe('idle');
    expect(source.stopped).toBe(true);
  });

  it('shows a lost interface and lost frames, and clears the sentence when it is back', async () => {
    await open();
    source.listener!.onEvent({
      kind: 'lost',
      told: message('error.captureLost', { device: 'Test interface' }),
      cause: 'test',
    });
    expect(lastState().problem?.id).toBe('error.captureLost');
    source.listener!.onEvent({ kind: 'resumed', gapFrames: 960 });
    source.give(1, 960);
    expect(session.state()).toMatchObject({ problem: null, lostFrames: 960 });
  });

  it('keeps the placements of a run as they were', async () => {
    await open();
    await session.record(true);
    expect(() => session.setChannels(channels.slice(1))).toThrow(/stop the recording/);
    await session.record(false);
    session.setChannels(channels.slice(1));
    expect(session.state().channels).toHaveLength(2);
  });
});

it('refuses to record what is not open', async () => {
  await expect(session.record(true)).rejects.toThrow(/No source is open/);
});

describe('watchers of the stream', () => {
  it('see every block of the open source, hear of changes, and end when they wish', async () => {
    await open();
    const seen: string[] = [];
    const end = session.watch({
      onBlock: (block) => seen.push(`block ${block.firstFrame}`),
      onChanged: () => seen.push(session.state().source ? 'changed' : 'closed'),
    });
    source.give(2);
    session.setChannels(channels.slice(0, 2));
    await session.close();
    expect(seen).toEqual(['block 0', `block ${FRAMES}`, 'changed', 'closed']);
    end();
    await open();
    source.give(1);
    expect(seen).toHaveLength(4);
  });

  it('a tone is sounded over what is heard', async () => {
    await open();
    await session.listen({ gain_db: -40 });
    source.give(20);
    const loudest = (blocks: Float32Array[]) => Math.max(...blocks.flatMap((b) => [...b].map(Math.abs)));
    expect(loudest(heard.slice(-5))).toBeLessThan(0.01);
    session.cue('attention');
    source.give(10);
    expect(loudest(heard.slice(-5))).toBeGreaterThan(0.2);
  });
});
