import { mkdtemp, rm, truncate, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { CaptureError, type CaptureEvent } from '../../native/capture/capture-source.ts';
import { type ReplayOptions, ReplaySource } from '../../native/capture/replay-source.ts';
import { WavError } from '../../native/wav/wav-header.ts';
import { WavWriter } from '../../native/wav/wav-writer.ts';

const RATE = 8000;
let dir: string;
let path: string;
beforeAll(async () => {
  dir = await mkdtemp(join(tmpdir(), 'replay-'));
  path = join(dir, 'run.wav');
  const writer = await WavWriter.create(path, { channels: 2, sampleRate_Hz: RATE });
  // The second channel holds the number of its frame.
  writer.write([new Float32Array(10_003), Float32Array.from({ length: 10_003 }, (_, f) => f)], 10_003);
  await writer.close();
});
afterAll(() => rm(dir, { recursive: true, force: true }));

async function play(options: ReplayOptions, untilFrames = Number.POSITIVE_INFINITY) {
  const source = await ReplaySource.open(path, options);
  const samples: number[] = [];
  const events: CaptureEvent['kind'][] = [];
  const began = performance.now();
  await new Promise<void>((resolve) => {
    void source.start({
      onBlock: (block) => {
        expect(block.firstFrame).toBe(samples.length);
        samples.push(...block.channels[1]!.subarray(0, block.frames));
        if (samples.length >= untilFrames) resolve();
      },
      onEvent: (event) => {
        events.push(event.kind);
        if (event.kind === 'ended') resolve();
      },
    });
  });
  await source.stop();
  return { source, samples, events, took_s: (performance.now() - began) / 1000 };
}

test('unpaced it gives every frame once, much faster than real time', async () => {
  const { source, samples, events, took_s } = await play({ pace: 'unpaced' });
  expect(source.format).toEqual({ channels: 2, sampleRate_Hz: RATE, bits: 32 });
  expect(source.duration_s).toBe(10_003 / RATE);
  expect(samples).toEqual(Array.from({ length: 10_003 }, (_, f) => f));
  expect(events).toEqual(['running', 'ended']);
  expect(took_s).toBeLessThan(0.6);
});

test('in real time it takes as long as the recording', async () => {
  const { samples, took_s } = await play({ pace: 'realTime', from_s: 0.75 });
  expect(samples[0]).toBe(6000);
  expect(samples.length).toBe(4003);
  expect(took_s).toBeGreaterThan(4003 / RATE - 0.01);
  expect(took_s).toBeLessThan(4003 / RATE + 0.4);
});

test('looped it goes on at the beginning without losing a frame', async () => {
  const { samples, events } = await play({ pace: 'unpaced', loop: true, from_s: 1.2 }, 20_000);
  expect(samples.slice(0, 20_000)).toEqual(Array.from({ length: 20_000 }, (_, f) => (f + 9600) % 10_003));
  expect(events).toEqual(['running']);
});

test('after stop nothing more comes', async () => {
  const source = await ReplaySource.open(path, { pace: 'realTime' });
  let calls = 0;
  const count = () => void calls++;
  await source.start({ onBlock: count, onEvent: count });
  await sleep(100);
  await source.stop();
  await source.stop();
  const before = calls;
  expect(before).toBeGreaterThan(2);
  await sleep(50);
  expect(calls).toBe(before);
});

test('an empty or foreign file is refused in words', async () => {
  const empty = join(dir, 'empty.wav');
  await (await WavWriter.create(empty, { channels: 1, sampleRate_Hz: RATE })).close();
  const source = await ReplaySource.open(empty, { pace: 'realTime' });
  await expect(source.start({ onBlock() {}, onEvent() {} })).rejects.toThrow(CaptureError);
  await writeFile(join(dir, 'letter.wav'), 'Dear customer');
  await expect(ReplaySource.open(join(dir, 'letter.wav'), { pace: 'realTime' })).rejects.toThrow(WavError);
});

test('a file that is cut short while it plays ends, it does not hang', async () => {
  const cut = join(dir, 'cut.wav');
  const writer = await WavWriter.create(cut, { channels: 1, sampleRate_Hz: RATE });
  writer.write([new Float32Array(2 * RATE)], 2 * RATE);
  await writer.close();
  const source = await ReplaySource.open(cut, { pace: 'unpaced' });
  await truncate(cut, 200);
  const ended = new Promise<void>((resolve) => {
    void source.start({
      onBlock() {},
      onEvent: (event) => {
        if (event.kind === 'ended') resolve();
      },
    });
  });
  await ended;
  await source.stop();
});
