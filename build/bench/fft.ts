import path from 'node:path';
import { PYTHON, runJson } from './run-json.ts';

/** Median time of one real transform, copying in and out included. */
export interface FftBenchmark {
  size: number;
  /** fft.js in RealFft. */
  double_us: number;
  /** PFFFT as WebAssembly in SingleFft. */
  single_us: number;
  /** pocketfft, which is scipy.fft. */
  pocketfftDouble_us: number;
  pocketfftSingle_us: number;
}

/** Real transforms beside pocketfft, each variant and size in a process of its own. */
export function benchFft(sizes: readonly number[] = [4096, 8192, 16_384, 32_768, 65_536]): FftBenchmark[] {
  const here = import.meta.dirname;
  const time = (command: string, program: string, variant: string, size: number): number =>
    Number(runJson(command, [path.join(here, program), variant, String(size)]).median_us);
  return sizes.map((size) => ({
    size,
    double_us: time(process.execPath, 'fft-variant.ts', 'double', size),
    single_us: time(process.execPath, 'fft-variant.ts', 'single', size),
    pocketfftDouble_us: time(PYTHON, 'fft_variant.py', 'double', size),
    pocketfftSingle_us: time(PYTHON, 'fft_variant.py', 'single', size),
  }));
}
