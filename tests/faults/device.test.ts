/**
 * The lead is pulled and put back, and the sound server dies, while the program records from the virtual interface.
 * PulseAudio shares its devices and resamples: a device that another program holds for itself, and one that comes back
 * at a rate which it cannot give, are played by a fake child in tests/native/portaudio-source.test.ts.
 */
import { monitorEventLoopDelay } from 'node:perf_hooks';
import { setTimeout as sleep } from 'node:timers/promises';
import { expect, it, onTestFinished } from 'vitest';
import { forkWithNode } from '../../native/portaudio/child-link.ts';
import { VirtualInterface } from '../e2e/virtual-interface.ts';
import { inspect, newFolder, openShop, sized, until } from './shop.ts';

const CYCLES = sized(5, 100);
const RATE = 48_000;
/** A device is noticed as gone after 0.8 s at most, and another may have spoken in its place for 0.3 s before. */
const NOTICED_S = 1.2;

async function recordingShop() {
  const box = await VirtualInterface.start();
  onTestFinished(() => box.stop());
  const folder = newFolder();
  const shop = await openShop(folder, { forkChild: forkWithNode({ ...process.env, ...box.env }) });
  await shop.ask('live.listen', { on: false });
  const source = {
    kind: 'device',
    name: VirtualInterface.INPUT,
    channels: 8,
    sampleRate_Hz: RATE,
    bits: 24,
  } as const;
  await shop.ask('live.open', { source, visitId: null, channels: [] });
  await shop.ask('live.record', { on: true });
  return { box, folder, shop };
}

/** How long the program took to answer, at worst, while something went on. */
function answering(ask: () => Promise<unknown>) {
  let worst_ms = 0;
  let on = true;
  const going = (async () => {
    while (on) {
      const asked = performance.now();
      await ask();
      worst_ms = Math.max(worst_ms, performance.now() - asked);
      await sleep(50);
    }
  })();
  return async (): Promise<number> => {
    on = false;
    await going;
    return worst_ms;
  };
}

it(`unplugged and back ${CYCLES} times, the sound server killed among them: every gap has its place and its length`, {
  timeout: CYCLES * 15_000 + 30_000,
}, async () => {
  const { box, folder, shop } = await recordingShop();
  const answered = answering(() => shop.ask('live.state', null));
  const began_s = performance.now() / 1000 - shop.state!.recording!.seconds;
  const outages: { from_s: number; to_s: number }[] = [];
  for (let cycle = 0; cycle < CYCLES; cycle++) {
    await sleep(600 + 400 * Math.random());
    const kills = cycle % 5 === 2;
    const from_s = performance.now() / 1000 - began_s;
    await (kills ? box.killServer() : box.unplug());
    expect(await until(2, () => shop.state?.problem != null), `cycle ${cycle}: told within 2 s`).toBe(true);
    await sleep(500 * Math.random());
    await (kills ? box.startServer() : box.replug());
    expect(await until(15, () => shop.state?.problem === null), `cycle ${cycle}: back`).toBe(true);
    outages.push({ from_s, to_s: performance.now() / 1000 - began_s });
  }
  await sleep(500);
  const expected_s = performance.now() / 1000 - began_s;
  await shop.ask('live.record', { on: false });
  expect(await answered()).toBeLessThan(2000);
  await shop.close();
  expect(shop.reported).toEqual([]);

  const { faults, runs } = await inspect(folder);
  expect(faults).toEqual([]);
  const run = runs[0]!;
  expect(run).toMatchObject({ state: 'complete', fileFrames: run.frames, headerIsTrue: true });
  // Nothing is missing that is not counted: the file is as long as the drive.
  expect(Math.abs(run.frames / RATE - expected_s)).toBeLessThan(0.3);
  const gaps = run.gaps.map((gap) => ({ from_s: gap.firstFrame / RATE, length_s: gap.frames / RATE }));
  for (const [cycle, { from_s, to_s }] of outages.entries()) {
    const within = gaps.filter((g) => g.from_s > from_s - 0.3 && g.from_s < to_s);
    const lost_s = within.reduce((sum, g) => sum + g.length_s, 0);
    const at = `cycle ${cycle}: ${from_s.toFixed(2)} to ${to_s.toFixed(2)} s, gaps ${JSON.stringify(within)}`;
    expect(lost_s, at).toBeGreaterThan(to_s - from_s - NOTICED_S);
    expect(lost_s, at).toBeLessThan(to_s - from_s + 0.4);
  }
  const counted = run.gaps.reduce((sum, gap) => sum + gap.frames, 0);
  console.log(
    `${CYCLES} outages, ${run.gaps.length} gaps of ${(counted / RATE).toFixed(1)} s in ${(run.frames / RATE).toFixed(1)} s; file against clock ${(run.frames / RATE - expected_s).toFixed(3)} s`,
  );
});

it('another program captures beside it, and the interface comes back at another rate: told or nothing lost', {
  timeout: 60_000,
}, async () => {
  const { box, folder, shop } = await recordingShop();
  const began_s = performance.now() / 1000 - shop.state!.recording!.seconds;
  await sleep(500);
  const endOther = await box.captureBeside();
  await sleep(1000);
  await endOther();
  expect(shop.problems).toEqual([]);

  await box.unplug();
  expect(await until(2, () => shop.state?.problem != null)).toBe(true);
  await box.replug(44_100);
  expect(await until(10, () => shop.state?.problem === null)).toBe(true);
  await sleep(2000);
  const expected_s = performance.now() / 1000 - began_s;
  await shop.ask('live.record', { on: false });
  await shop.close();
  const { runs } = await inspect(folder);
  expect(runs[0]).toMatchObject({ state: 'complete', fileFrames: runs[0]!.frames, sampleRate_Hz: RATE });
  // Seconds of the file are seconds of the road, whatever the interface runs at.
  expect(Math.abs(runs[0]!.frames / RATE - expected_s)).toBeLessThan(0.3);
});

it('the program’s own thread never computes for 50 ms at a stretch while it watches and records', {
  timeout: 90_000,
}, async () => {
  const { shop } = await recordingShop();
  await sleep(1000);
  const delay = monitorEventLoopDelay({ resolution: 5 });
  delay.enable();
  // How long the loop was held up says as much about a busy machine; what this thread used meanwhile is ours.
  let longest_ms = 0;
  let used = process.threadCpuUsage();
  const sampling = setInterval(() => {
    const { user, system } = process.threadCpuUsage(used);
    longest_ms = Math.max(longest_ms, (user + system) / 1000);
    used = process.threadCpuUsage();
  }, 2);
  const watched_s = sized(8, 60);
  await sleep(watched_s * 1000);
  clearInterval(sampling);
  delay.disable();
  console.log(
    `${watched_s} s: longest computation ${longest_ms.toFixed(1)} ms; event loop held up by at most ` +
      `${(delay.max / 1e6).toFixed(1)} ms, 99 % under ${(delay.percentile(99) / 1e6).toFixed(1)} ms`,
  );
  expect(longest_ms).toBeGreaterThan(0);
  expect(longest_ms).toBeLessThan(50);
  await shop.ask('live.record', { on: false });
});
