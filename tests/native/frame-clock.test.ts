import { expect, test } from 'vitest';
import { FrameClock } from '../../native/capture/frame-clock.ts';

const RATE = 48_000;
const BLOCK = 480;

/** Feeds blocks that are captured in time and arrive up to `jitter_s` late, always a little differently. */
function feed(clock: FrameClock, from_s: number, seconds: number, { jitter_s = 0.04, drift = 0 } = {}) {
  let lost = 0;
  for (let n = 1; n <= Math.round(seconds * 100); n++) {
    const captured_s = from_s + n * 0.01 * (1 + drift);
    // Every seventh block is prompt, the others are late by a share of the jitter.
    lost += clock.arrived(BLOCK, captured_s + (jitter_s * (n % 7)) / 6);
  }
  return lost;
}

test('late blocks are not taken for lost ones', () => {
  const clock = new FrameClock(RATE);
  expect(feed(clock, 0, 60, { jitter_s: 0.06 })).toBe(0);
  expect(clock.frames).toBe(60 * RATE);
});

test.each([200e-6, -200e-6])('a sound clock that is off by %f for two hours loses nothing', (drift) => {
  const clock = new FrameClock(RATE);
  expect(feed(clock, 0, 7200, { drift })).toBe(0);
});

test.each([0.05, 0.2, 3])('%f s that never came are found within two seconds', (gap_s) => {
  const clock = new FrameClock(RATE);
  expect(feed(clock, 0, 10)).toBe(0);
  const lost = feed(clock, 10 + gap_s, 2.1);
  expect(Math.abs(lost - gap_s * RATE)).toBeLessThan(0.005 * RATE);
  expect(feed(clock, 12.1 + gap_s, 10)).toBe(0);
});

test('frames that the device reported as lost are counted once', () => {
  const clock = new FrameClock(RATE);
  feed(clock, 0, 5);
  expect(clock.arrived(BLOCK, 5.02, BLOCK)).toBe(BLOCK);
  expect(feed(clock, 5.02, 10)).toBe(0);
  expect(clock.frames).toBe(Math.round(15.02 * RATE));
});

test('after an interruption the count goes on where the clock says', () => {
  const clock = new FrameClock(RATE);
  feed(clock, 0, 5);
  const lost = clock.resumed(BLOCK, 7.5);
  expect(Math.abs(lost - (2.5 * RATE - BLOCK))).toBeLessThan(0.005 * RATE);
  expect(feed(clock, 7.5, 5)).toBe(0);
});

test('after a hundred interruptions whose first block is late each time, file and clock have not parted', () => {
  const clock = new FrameClock(RATE);
  feed(clock, 0, 5);
  let now_s = 5;
  for (let outage = 0; outage < 100; outage++) {
    now_s += 1.5;
    clock.resumed(BLOCK, now_s + 0.01 + 0.05);
    feed(clock, now_s + 0.01, 1.5);
    now_s += 1.51;
  }
  // One late first block is in the count: it can only be made up for in the next gap.
  expect(Math.abs(clock.frames / RATE - now_s)).toBeLessThan(0.06);
});
