import { beforeEach, describe, expect, it } from 'vitest';
import { CheckRunner } from '../../electron/live/check-runner.ts';
import { type BlockWatcher, LiveError } from '../../electron/live/live-session.ts';
import type { BundleChannel } from '../../shared/bundle/visit.ts';
import type { AppEvent } from '../../shared/contract/requests.ts';
import type { CheckResult } from '../../shared/contract/visit-work.ts';
import { RATE, restNoise } from './checks/signals.ts';

const channels: BundleChannel[] = [
  { channel: 1, role: 'tacho', shaft: 'propshaft', pulsesPerRev: 1 },
  { channel: 2, role: 'vibration', position: 'hub-rear-left', fullScale_m_s2: 200 },
  { channel: 4, role: 'vibration', position: 'hub-rear-right', fullScale_m_s2: 200 },
];

let watchers: Set<BlockWatcher>;
let events: AppEvent[];
let kept: { visitId: number; result: CheckResult }[];
let reported: unknown[];
let open: boolean;
let runner: CheckRunner;

beforeEach(() => {
  watchers = new Set();
  events = [];
  kept = [];
  reported = [];
  open = true;
  runner = new CheckRunner({
    live: {
      state: () => ({
        source: open ? { kind: 'device', name: 'test', sampleRate_Hz: RATE } : null,
        channels,
      }),
      watch: (watcher) => {
        watchers.add(watcher);
        return () => watchers.delete(watcher);
      },
    },
    keep: (visitId, _at, result) => kept.push({ visitId, result }),
    publish: (event) => events.push(event),
    report: (error) => reported.push(error),
  });
});

/** Streams four channels: a tacho, two pickups with a silent input between them. */
function stream(seconds: number, spoil: (channel: number, samples: Float32Array) => void = () => {}): void {
  const all = [1, 2, 3, 4].map((channel) => {
    const samples =
      channel === 3 ? new Float32Array(seconds * RATE) : restNoise(seconds, 1e-4, `stream ${channel}`);
    spoil(channel, samples);
    return samples;
  });
  const frames = RATE / 50;
  for (let from = 0; from < seconds * RATE; from += frames) {
    const block = {
      firstFrame: from,
      frames,
      gapFrames: 0,
      channels: all.map((s) => s.subarray(from, from + frames)),
      receivedAt_s: 0,
    };
    for (const watcher of watchers) watcher.onBlock(block);
  }
}
const results = () => events.filter((e) => e.name === 'checks.result').map((e) => e.payload);

describe('running a check', () => {
  it('feeds it the placed pickups, tells how it goes, and keeps the result with the visit', () => {
    runner.start(9, { check: 'noiseFloor' });
    expect(runner.state()).toMatchObject({ running: 'noiseFloor', channel: null });
    stream(6);
    const states = events.filter((e) => e.name === 'checks.state').map((e) => e.payload.progress);
    expect(states.length).toBeGreaterThan(15);
    expect(states.slice(0, -1)).toEqual([...states.slice(0, -1)].sort((a, b) => a! - b!));
    const [{ visitId, check }] = results() as [ReturnType<typeof results>[0]];
    expect(visitId).toBe(9);
    expect(check.result).toMatchObject({ check: 'noiseFloor', verdict: 'good' });
    expect(check.result.check === 'noiseFloor' && check.result.channels.map((c) => c.channel)).toEqual([
      2, 4,
    ]);
    expect(kept.map((k) => k.visitId)).toEqual([9]);
    expect(runner.state().running).toBeNull();
    expect(watchers.size).toBe(0);
  });

  it('without a visit keeps nothing and still tells the result', () => {
    runner.start(null, { check: 'noiseFloor' });
    stream(6);
    expect(results()).toHaveLength(1);
    expect(kept).toEqual([]);
  });

  it('gives up one check for the next, and ends with the source', () => {
    runner.start(9, { check: 'noiseFloor' });
    runner.start(9, { check: 'tap', channel: 2 });
    expect(watchers.size).toBe(1);
    expect(runner.state()).toMatchObject({ running: 'tap', channel: 2 });
    for (const watcher of watchers) watcher.onChanged();
    expect(runner.state().running).toBeNull();
    expect(watchers.size).toBe(0);
    expect(results()).toEqual([]);
  });

  it('that cannot understand its samples ends alone and is reported', () => {
    runner.start(9, { check: 'noiseFloor' });
    expect(() =>
      stream(6, (channel, samples) => {
        if (channel === 2) samples[100] = Number.NaN;
      }),
    ).not.toThrow();
    expect(runner.state().running).toBeNull();
    expect(kept).toEqual([]);
  });

  it('is refused without a source, and for a channel that holds no pickup', () => {
    for (const channel of [1, 3, 5]) {
      expect(() => runner.start(9, { check: 'tap', channel })).toThrow(LiveError);
    }
    open = false;
    expect(() => runner.start(9, { check: 'lead' })).toThrow(/Open the interface first/);
  });
});
