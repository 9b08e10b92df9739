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
