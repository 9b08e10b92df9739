import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { CaptureError, type CaptureEvent } from '../../native/capture/capture-source.ts';
import { listDevices } from '../../native/capture/devices.ts';
import { PortAudioSource } from '../../native/capture/portaudio-source.ts';
import { message } from '../../shared/messages/message.ts';
import { english } from '../../shared/messages/tell.ts';
import { fakeFork } from './fake-child.ts';

const RATE = 48_000;
const CHANNELS = 3;

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'setInterval', 'clearInterval', 'performance'] });
});
afterEach(() => {
  vi.useRealTimers();
});

/** 16 bit frames whose first channel counts up from `first`; the others are ten and twenty times that. */
function frames(first: number, count: number): Buffer {
  const bytes = Buffer.alloc(count * CHANNELS * 2);
  for (let f = 0; f < count; f++)
    for (let c = 0; c < CHANNELS; c++)
      bytes.writeInt16LE((first + f) * (c === 0 ? 1 : c * 10), (f * CHANNELS + c) * 2);
  return bytes;
}

function setUp() {
  const { forkChild, children } = fakeFork();
  const source = new PortAudioSource({
    device: { name: 'Box', hostApi: 'ALSA' },
    channels: CHANNELS,
    sampleRate_Hz: RATE,
    bits: 16,
    forkChild,
    childFile: 'child',
  });
  const events: CaptureEvent[] = [];
  const blocks: { firstFrame: number; frames: number; gapFrames: number; samples: number[][] }[] = [];
  const listener = {
    onBlock: (block: Parameters<Parameters<typeof source.start>[0]['onBlock']>[0]) => {
      const samples = block.channels.map((c) =>
        [...c.subarray(0, block.frames)].map((x) => Math.round(x * 32768)),
      );
      blocks.push({
        firstFrame: block.firstFrame,
        frames: block.frames,
        gapFrames: block.gapFrames,
        samples,
      });
    },
    onEvent: (event: CaptureEvent) => void events.push(event),
  };
  /** The newest child delivers blocks of 10 ms in real time. */
  const deliver = async (seconds: number) => {
    for (let t = 0; t < seconds - 1e-9; t += 0.01) {
      await vi.advanceTimersByTimeAsync(10);
      children.at(-1)!.says({ kind: 'data', bytes: frames(0, 480) });
    }
  };
  const start = async () => {
    const started = source.start(listener);
    children[0]!.says({ kind: 'data', bytes: frames(0, 480) });
    await started;
  };
  return { source, children, events, blocks, listener, deliver, start };
}

test('asks for blocks of 10 ms and starts with the first data', async () => {
  const { source, children, events, listener } = setUp();
  let started = false;
  const starting = source.start(listener).then(() => {
    started = true;
  });
  await vi.advanceTimersByTimeAsync(1800);
  expect(started).toBe(false);
  expect(children[0]!.sent).toEqual([
    {
      kind: 'capture',
      device: { name: 'Box', hostApi: 'ALSA' },
      channels: 3,
      sampleRate_Hz: RATE,
      bits: 16,
      framesPerBlock: 480,
    },
  ]);
  children[0]!.says({ kind: 'data', bytes: frames(0, 480) });
  await starting;
  expect(events).toEqual([{ kind: 'running' }]);
  void source.stop();
});

test('chunks that end in the middle of a sample or a frame keep every channel in its place', async () => {
  const { source, children, blocks, start } = setUp();
  await start();
  blocks.length = 0;
  const bytes = frames(100, 200);
  for (let at = 0, n = 1; at < bytes.length; at += n, n = (n * 5) % 47)
    children[0]!.says({ kind: 'data', bytes: bytes.subarray(at, at + n) });
  const joined = [0, 1, 2].map((c) => blocks.flatMap((b) => b.samples[c]!));
  expect(joined[0]).toEqual(Array.from({ length: 200 }, (_, f) => 100 + f));
  expect(joined[1]).toEqual(Array.from({ length: 200 }, (_, f) => (100 + f) * 10));
  expect(joined[2]).toEqual(Array.from({ length: 200 }, (_, f) => (100 + f) * 20));
  blocks.forEach((b, i) => {
    expect(b.firstFrame).toBe(480 + blocks.slice(0, i).reduce((sum, x) => sum + x.frames, 0));
  });
  void source.stop();
});

describe('a device that cannot be opened is refused with what to do', () => {
  test.each([
    ['missing', undefined, 'Box is not connected; plug it in and try again.'],
    ['channels', 2, 'Box has 2 input channels, not 3; choose fewer channels.'],
    ['rate', undefined, 'Box does not run at 48000 Hz; choose another sample rate.'],
    ['busy', undefined, 'Box is in use by another program; close that program and try again.'],
    ['other', undefined, 'Box could not be opened; unplug it, plug it in and try again.'],
  ] as const)('%s', async (reason, channelsThere, words) => {
    const { source, children, listener } = setUp();
    const starting = source.start(listener);
    children[0]!.says({
      kind: 'refused',
      reason,
      detail: 'PortAudio says no',
      ...(channelsThere === undefined ? {} : { channelsThere }),
    });
    await expect(starting).rejects.toThrow(words);
    await expect(starting).rejects.toHaveProperty('cause', 'PortAudio says no');
    expect(children[0]!.killed).toBe(true);
    expect(children).toHaveLength(1);
  });

  test('it freezes while opening', async () => {
    const { source, children, listener } = setUp();
    const starting = source.start(listener);
    const refused = expect(starting).rejects.toThrow(/does not run/);
    await vi.advanceTimersByTimeAsync(5000);
    await refused;
    expect(children[0]!.killed).toBe(true);
  });

  test('it crashes while opening', async () => {
    const { source, children, listener } = setUp();
    const starting = source.start(listener);
    children[0]!.exits('ended by SIGSEGV');
    await expect(starting).rejects.toHaveProperty('cause', 'ended by SIGSEGV');
  });
});

test('a stream that falls silent is killed and opened again; the gap is the time that passed', async () => {
  const { source, children, events, blocks, deliver, start } = setUp();
  await start();
  await deliver(3);
  const framesBefore = blocks.at(-1)!.firstFrame + 480;
  await vi.advanceTimersByTimeAsync(1000);
  expect(children[0]!.killed).toBe(true);
  expect(events.at(-1)).toMatchObject({
    kind: 'lost',
    told: message('error.captureLost', { device: 'Box' }),
  });
  expect(children).toHaveLength(2);
  children[1]!.says({ kind: 'refused', reason: 'missing', detail: '' });
  await vi.advanceTimersByTimeAsync(500);
  expect(children).toHaveLength(3);
  await vi.advanceTimersByTimeAsync(490);
  await deliver(0.01);
  const lost = Math.round(1.99 * RATE);
  expect(events.at(-1)).toEqual({ kind: 'resumed', gapFrames: lost });
  expect(blocks.at(-1)).toMatchObject({ gapFrames: lost, firstFrame: framesBefore + lost });
  expect(events.filter((e) => e.kind === 'lost')).toHaveLength(1);
  await deliver(2);
  expect(blocks.at(-1)!.gapFrames).toBe(0);
  void source.stop();
});

test('a crash is noticed at once, and what a dead child still sends is not taken', async () => {
  const { source, children, events, blocks, deliver, start } = setUp();
  await start();
  await deliver(0.5);
  children[0]!.exits('ended by SIGSEGV');
  expect(events.at(-1)).toMatchObject({ kind: 'lost', cause: 'ended by SIGSEGV' });
  const before = blocks.length;
  children[0]!.says({ kind: 'data', bytes: frames(0, 480) });
  expect(blocks).toHaveLength(before);
  void source.stop();
});

test('when the device comes back at another rate, the technician is told what to do now', async () => {
  const { source, children, events, deliver, start } = setUp();
  await start();
  await deliver(0.5);
  children[0]!.exits('exit code 1');
  for (let i = 1; i < 4; i++) {
    children[i]!.says({ kind: 'refused', reason: 'rate', detail: 'Invalid sample rate' });
    await vi.advanceTimersByTimeAsync(500);
  }
  const told = events.flatMap((e) => (e.kind === 'lost' ? [english(e.told)] : []));
  expect(told).toEqual([
    expect.stringContaining('Box stopped delivering'),
    'Box does not run at 48000 Hz; choose another sample rate.',
  ]);
  void source.stop();
});

test('an overflow that PortAudio reports is a gap before the next block', async () => {
  const { source, children, blocks, deliver, start } = setUp();
  await start();
  await deliver(0.1);
  children[0]!.says({ kind: 'overflow', frames: 480 });
  await vi.advanceTimersByTimeAsync(10);
  await deliver(0.01);
  expect(blocks.at(-1)).toMatchObject({ gapFrames: 480, firstFrame: 480 * 12 });
  void source.stop();
});

test('frames that vanish without a word are found against the clock', async () => {
  const { source, blocks, deliver, start } = setUp();
  await start();
  await deliver(3);
  await vi.advanceTimersByTimeAsync(100);
  await deliver(2.5);
  const gaps = blocks.filter((b) => b.gapFrames > 0);
  expect(gaps).toHaveLength(1);
  expect(gaps[0]!.gapFrames).toBeCloseTo(4800, -2);
  void source.stop();
});

test('a stream that jumped is not trusted: it may come from another device now', async () => {
  const { source, children, events, deliver, start } = setUp();
  await start();
  await deliver(3);
  await vi.advanceTimersByTimeAsync(400);
  await deliver(1.2);
  expect(children[0]!.killed).toBe(true);
  expect(events.find((e) => e.kind === 'lost')).toMatchObject({ cause: expect.stringContaining('missing') });
  void source.stop();
});

describe('stop', () => {
  test('asks the child once, and the listener hears nothing after', async () => {
    const { source, children, blocks, events, deliver, start } = setUp();
    await start();
    await deliver(0.1);
    const before = [blocks.length, events.length];
    const stopping = [source.stop(), source.stop()];
    children[0]!.says({ kind: 'data', bytes: frames(0, 480) });
    children[0]!.says({ kind: 'stopped' });
    await Promise.all(stopping);
    expect(children[0]!.sent.filter((m) => m.kind === 'stop')).toHaveLength(1);
    expect(children[0]!.killed).toBe(true);
    await vi.advanceTimersByTimeAsync(10_000);
    expect([blocks.length, events.length]).toEqual(before);
    expect(children).toHaveLength(1);
  });

  test('kills a child that does not obey', async () => {
    const { source, children, start } = setUp();
    await start();
    const stopping = source.stop();
    await vi.advanceTimersByTimeAsync(1400);
    expect(children[0]!.killed).toBe(false);
    await vi.advanceTimersByTimeAsync(100);
    await stopping;
    expect(children[0]!.killed).toBe(true);
  });

  test('ends the attempts to open the device again', async () => {
    const { source, children, deliver, start } = setUp();
    await start();
    await deliver(0.1);
    children[0]!.exits('gone');
    children[1]!.says({ kind: 'refused', reason: 'missing', detail: '' });
    await source.stop();
    await vi.advanceTimersByTimeAsync(10_000);
    expect(children).toHaveLength(2);
  });

  test('before the first data makes start reject', async () => {
    const { source, children, listener } = setUp();
    const starting = source.start(listener);
    const refused = expect(starting).rejects.toThrow(CaptureError);
    const stopping = source.stop();
    await vi.advanceTimersByTimeAsync(1500);
    await stopping;
    await refused;
    expect(children[0]!.killed).toBe(true);
  });
});

describe('listDevices', () => {
  const device = {
    name: 'Box',
    hostApi: 'ALSA',
    inputChannels: 8,
    outputChannels: 2,
    defaultSampleRate_Hz: RATE,
    isDefaultInput: true,
    isDefaultOutput: true,
  };

  test('adds the rates to the list', async () => {
    const { forkChild, children } = fakeFork();
    const listing = listDevices(forkChild, 'child');
    children[0]!.says({ kind: 'devices', devices: [device] });
    children[0]!.says({ kind: 'rates', index: 0, sampleRates_Hz: [44_100, 48_000] });
    children[0]!.says({ kind: 'listed' });
    expect(await listing).toEqual([{ ...device, inputRates_Hz: [44_100, 48_000] }]);
    expect(children[0]!.killed).toBe(true);
  });

  test('gives the list without rates when a device freezes or crashes as it is asked', async () => {
    const { forkChild, children } = fakeFork();
    const frozen = listDevices(forkChild, 'child');
    children[0]!.says({ kind: 'devices', devices: [device] });
    await vi.advanceTimersByTimeAsync(4000);
    expect(await frozen).toEqual([{ ...device, inputRates_Hz: null }]);
    const crashed = listDevices(forkChild, 'child');
    children[1]!.says({ kind: 'devices', devices: [device] });
    children[1]!.exits('ended by SIGSEGV');
    expect(await crashed).toHaveLength(1);
  });

  test('rejects in words when there is no list', async () => {
    const { forkChild, children } = fakeFork();
    const listing = listDevices(forkChild, 'child');
    children[0]!.exits('ended by SIGABRT');
    await expect(listing).rejects.toThrow(CaptureError);
  });
});
