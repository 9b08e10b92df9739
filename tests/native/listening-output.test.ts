import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { OutputError, PortAudioOutput } from '../../native/output/listening-output.ts';
import { message } from '../../shared/messages/message.ts';
import { english } from '../../shared/messages/tell.ts';
import { fakeFork } from './fake-child.ts';

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'setInterval', 'clearInterval'] });
});
afterEach(() => {
  vi.useRealTimers();
});

const RATE = 48_000;

async function opened() {
  const { forkChild, children } = fakeFork();
  const problems: string[] = [];
  const recoveries: number[] = [];
  const opening = PortAudioOutput.open({
    device: { name: 'Headphones' },
    sampleRate_Hz: RATE,
    onProblem: (told) => void problems.push(english(told)),
    onRecovered: () => void recoveries.push(Date.now()),
    forkChild,
    childFile: 'child',
  });
  children[0]!.says({ kind: 'playing', sampleRate_Hz: RATE });
  return { output: await opening, children, problems, recoveries };
}

test('hands a copy of the samples on, and no more of their buffer than that', async () => {
  const { output, children } = await opened();
  const mix = Float32Array.of(1, 2, 3, 4);
  output.write(mix.subarray(1, 3));
  mix.fill(0);
  const sent = children[0]!.sent.at(-1)!;
  expect(sent).toEqual({ kind: 'samples', samples: Float32Array.of(2, 3) });
  expect(sent.kind === 'samples' && sent.samples.buffer.byteLength).toBe(8);
  void output.close();
});

test('a refused output says what to do', async () => {
  const { forkChild, children } = fakeFork();
  const opening = PortAudioOutput.open({ device: null, sampleRate_Hz: RATE, forkChild, childFile: 'child' });
  children[0]!.says({ kind: 'refused', reason: 'missing', detail: 'No default device' });
  await expect(opening).rejects.toThrow(new OutputError(message('error.noOutput')));
  expect(children[0]!.killed).toBe(true);
});

test('an output that freezes while it is opened is given up', async () => {
  const { forkChild, children } = fakeFork();
  const opening = PortAudioOutput.open({ device: null, sampleRate_Hz: RATE, forkChild, childFile: 'child' });
  const refused = expect(opening).rejects.toThrow(OutputError);
  await vi.advanceTimersByTimeAsync(5000);
  await refused;
  expect(children[0]!.killed).toBe(true);
});

test('reports of the child are passed on and keep the watchdog quiet', async () => {
  const { output, children, problems } = await opened();
  for (let n = 1; n <= 20; n++) {
    await vi.advanceTimersByTimeAsync(250);
    children[0]!.says({ kind: 'played', underruns: n, starved: 2 * n });
  }
  expect([output.underruns, output.starved]).toEqual([20, 40]);
  expect(problems).toEqual([]);
  void output.close();
});

test('an output that takes nothing any more is replaced until it plays again', async () => {
  const { output, children, problems, recoveries } = await opened();
  await vi.advanceTimersByTimeAsync(1250);
  expect(children[0]!.killed).toBe(true);
  expect(problems).toEqual([
    'Headphones stopped playing; check its lead, and listening goes on when it is back.',
  ]);
  output.write(new Float32Array(480));
  children[1]!.says({ kind: 'refused', reason: 'missing', detail: '' });
  await vi.advanceTimersByTimeAsync(1000);
  children[2]!.says({ kind: 'playing', sampleRate_Hz: RATE });
  await vi.advanceTimersByTimeAsync(0);
  expect(recoveries).toHaveLength(1);
  expect(problems).toHaveLength(1);
  output.write(new Float32Array(480));
  expect(children.map((c) => c.sent.filter((m) => m.kind === 'samples').length)).toEqual([0, 0, 1]);
  void output.close();
});

test('close asks once, kills what does not obey, and opens nothing again', async () => {
  const { output, children } = await opened();
  const closing = Promise.all([output.close(), output.close()]);
  expect(children[0]!.sent.filter((m) => m.kind === 'stop')).toHaveLength(1);
  await vi.advanceTimersByTimeAsync(1000);
  await closing;
  expect(children[0]!.killed).toBe(true);
  await vi.advanceTimersByTimeAsync(10_000);
  expect(children).toHaveLength(1);
  output.write(new Float32Array(480));
});

test('closed while it waits for a lost output, it stops trying', async () => {
  const { output, children } = await opened();
  children[0]!.exits('ended by SIGSEGV');
  children[1]!.says({ kind: 'refused', reason: 'missing', detail: '' });
  await vi.advanceTimersByTimeAsync(0);
  await output.close();
  await vi.advanceTimersByTimeAsync(10_000);
  expect(children).toHaveLength(2);
});
