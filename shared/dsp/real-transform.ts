import { nextPowerOfTwo, type RealTransform, realFft } from './fft.ts';
import { singleFft } from './fft-single.ts';

/** 'single' needs `loadSingleFft()` and is several times faster. */
export type Precision = 'double' | 'single';

/** The thread's shared plan with room for `length` samples: the next power of two that the precision takes. */
export function realTransform(length: number, precision: Precision = 'double'): RealTransform {
  const size = nextPowerOfTwo(length);
  return precision === 'single' ? singleFft(Math.max(32, size)) : realFft(Math.max(2, size));
}
