import { mkdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { openGarage } from '../../../db/open.ts';
import { LiveSession } from '../../../electron/live/live-session.ts';
import { RecordingsFolder } from '../../../electron/recording/recordings-folder.ts';
import { newRecording, startRun } from '../../../electron/service/start-run.ts';
import type { CaptureListener, CaptureSource } from '../../../native/capture/capture-source.ts';
import { FrameClock } from '../../../native/capture/frame-clock.ts';

/**
 * A drive of many seconds, as fast as the computer goes: eight channels at 48 kHz through meters, orders, listening,
 * recorder and database, on a clock of its own. Now and then frames never come. Run with --expose-gc.
 * Arguments: data folder, seconds. Prints one JSON object.
 */
const RATE = 48_000;
const CHANNELS = 8;
const FRAMES = 480;
/** So much sound may wait for the disk: a real stream would never be ahead of it. */
const AHEAD_FRAMES = 2 * RATE;
/** The interface's crystal is that much slower than the computer's clock. */
const DRIFT = 100e-6;

const [dataFolder, seconds] = [process.argv[2]!, Number(process.argv[3])];
mkdirSync(dataFolder, { recursive: true });

class FastSource implements CaptureSource {
  readonly format = { channels: CHANNELS, sampleRate_Hz: RATE, bits: 24 as const };
  readonly #clock = new FrameClock(RATE);
  /** Ten seconds of noise; what is recorded must not depend on what it costs to make it. */
  readonly #noise = Array.from({ length: CHANNELS }, () =>
    Float32Array.from({ length: 10 * RATE }, () => 0.2 * (Math.random() - 0.5)),
  );
  #listener: CaptureListener | null = null;
  now_s = 0;
  /** Frames that really never came. */
  lost = 0;

  async start(listener: CaptureListener): Promise<void> {
    this.#listener = listener;
  }
  async stop(): Promise<void> {
    this.#listener = null;
  }
  get frames(): number {
    return this.#clock.frames;
  }

  give(lostFrames: number): void {
    this.lost += lostFrames;
    this.now_s += ((lostFrames + FRAMES) / RATE) * (1 + DRIFT);
    const gapFrames = this.#clock.arrived(FRAMES, this.now_s);
    const at = (this.#clock.frames - FRAMES) % (9 * RATE);
    this.#listener!.onBlock({
      firstFrame: this.#clock.frames - FRAMES,
      frames: FRAMES,
      gapFrames,
      channels: this.#noise.map((samples) => samples.subarray(at, at + FRAMES)),
      receivedAt_s: this.now_s,
    });
  }
}

const garage = openGarage(join(dataFolder, 'garage.db'));
const recordings = new RecordingsFolder(dataFolder);
const source = new FastSource();
let path = '';
const session = new LiveSession({
  openSource: async () => ({
    kind: 'device',
    name: 'fast interface',
    source,
    channels: Array.from({ length: CHANNELS }, (_, i) => ({
      channel: i + 1,
      role: 'vibration',
      position: `place ${i + 1}`,
      fullScale_m_s2: 100,
    })),
    vehicle: {
      label: 'long day',
      layout: 'rwd',
      rollingCircumference_m: 2,
      finalDrive: { rear: { ringTeeth: 41, pinionTeeth: 11 } },
      engine: { cylinders: 4 },
    },
    startsAt_s: 0,
    speedAt: null,
  }),
  openOutput: async () => ({ write: () => {}, close: async () => {} }),
  newRecording: async () => {
    const place = newRecording(recordings);
    path = place.path;
    return place;
  },
  startRun: (start) => startRun(garage, start, () => {}),
  vehicleLabel: () => 'long day',
  freeBytes: () => recordings.freeBytes(),
  publish: () => {},
  now_s: () => source.now_s,
});
await session.open({ source: { kind: 'demo' }, visitId: null, channels: [] });
session.setSpeed({ km_h: 90 });
await session.record(true);

interface Sample {
  readonly at_s: number;
  /** Objects and buffers that are still held on to. */
  readonly held_bytes: number;
  readonly rss_bytes: number;
}
const samples: Sample[] = [];
/** Waits until no more than so many frames are not in the file. */
const writtenBut = async (frames: number): Promise<void> => {
  while (source.frames - statSync(path).size / (CHANNELS * 4) > frames) await sleep(5);
};
const SAMPLES = 60;
const blocks = (seconds * RATE) / FRAMES;
const begun = performance.now();
for (let block = 0; block < blocks; block++) {
  // A tenth of a second is lost every 25 s.
  source.give(block % 2500 === 1700 ? RATE / 10 : 0);
  if (block % 100 === 99) {
    session.takeSpeed('satellite', { quantity: 'road', km_h: 90, at_s: source.now_s });
    await new Promise(setImmediate);
    while ((source.frames * CHANNELS * 4 - statSync(path).size) / (CHANNELS * 4) > AHEAD_FRAMES)
      await sleep(20);
  }
  if (block % Math.floor(blocks / SAMPLES) === 0) {
    // What is on its way to the disk is no leak.
    await writtenBut(RATE / 2);
    globalThis.gc!();
    await sleep(1);
    globalThis.gc!();
    const { heapUsed, external, rss } = process.memoryUsage();
    samples.push({ at_s: block / 100, held_bytes: heapUsed + external, rss_bytes: rss });
  }
}
const took_s = (performance.now() - begun) / 1000;
const { recording, problem, lostFrames } = session.state();
await session.record(false);
await session.close();
const { run, second } = garage.runs.history(recording!.runId);
garage.close();
process.stdout.write(
  JSON.stringify({
    samples,
    took_s,
    problem,
    trulyLost: source.lost,
    lostFrames,
    clock_s: source.now_s,
    frames: run.frames,
    state: run.state,
    gaps: run.gaps,
    seconds: second.length,
    file: run.file,
  }),
);
