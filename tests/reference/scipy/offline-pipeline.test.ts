import { expect, test } from 'vitest';
import { benchOffline } from '../../../build/bench/offline.ts';

test('the whole offline analysis in single precision gives what the same in SciPy gives', () => {
  const { difference, ours_s, scipy_s } = benchOffline(6);
  expect(difference.thirdOctaves).toBeLessThan(1e-5);
  expect(difference.envelope).toBeLessThan(1e-5);
  expect(difference.coherence).toBeLessThan(1e-5);
  // SciPy decimates in three stages and to the end of the last impulse response, we in one: close, not equal.
  expect(difference.decimatedMeanSquare).toBeLessThan(5e-3);
  expect(ours_s).toBeGreaterThan(0);
  expect(scipy_s).toBeGreaterThan(0);
});
