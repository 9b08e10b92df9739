import { expect, test } from 'vitest';
import { bench } from '../../electron/cli/bench.ts';
import { CliInputError } from '../../electron/cli/input-error.ts';

test('an unknown part is refused in one line that lists the parts', async () => {
  const refusal = await bench({ quick: true }, ['offline']).catch((error: unknown) => error);
  expect(refusal).toBeInstanceOf(CliInputError);
  expect((refusal as Error).message).toMatch(
    /^bench: there is no part "offline"; the parts are .*offlineAnalysis/,
  );
  expect((refusal as Error).message).not.toContain('\n');
});

test('the figures of a part stand under its name', async () => {
  const figures = await bench({ quick: true }, ['offlineAnalysis']);
  expect(Object.keys(figures)).toEqual(['offlineAnalysis']);
  expect(figures.offlineAnalysis).toMatchObject({
    recording: { seconds: 20, channels: 8, sampleRate_Hz: 48_000 },
    ratio: expect.any(Number),
    cpuRatio: expect.any(Number),
  });
});

test('the analysis of a visit is timed with counted teeth and without, when the speed is harder to find', async () => {
  const { visitAnalysis } = await bench({ quick: true }, ['visitAnalysis']);
  const time = { elapsed_s: expect.any(Number), cpu_s: expect.any(Number) };
  expect(visitAnalysis).toMatchObject({
    visit: { runs: 3, seconds: 20, channels: 8, sampleRate_Hz: 48_000 },
    teethCounted: { ...time, speed: 'sharp' },
    teethUncounted: { ...time, speed: 'steady' },
  });
}, 120_000);
