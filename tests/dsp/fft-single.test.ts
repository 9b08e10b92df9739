import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { Worker } from 'node:worker_threads';
import fc from 'fast-check';
import { build } from 'vite';
import { expect, test } from 'vitest';
import { complexFft, realFft } from '../../shared/dsp/fft.ts';
import { loadSingleFft, SingleFft, singleComplexFft, singleFft } from '../../shared/dsp/fft-single.ts';
import { pffftWasmBase64 } from '../../shared/dsp/pffft-wasm-binary.ts';
import { largest, largestDifference, samples, spoiled } from './arbitraries.ts';

const SIZE = 256;

test('before loading, the first use says what to do', () => {
  expect(() => singleFft(SIZE)).toThrow(/await loadSingleFft\(\)/);
});

test('agrees with the double-precision transform to single precision', async () => {
  await loadSingleFft();
  for (const size of [32, 64, 256, 8192]) {
    fc.assert(
      fc.property(samples(size, size), (x) => {
        const reference = realFft(size).forward(x);
        const ours = singleFft(size).forward(x);
        expect(largestDifference(ours, reference)).toBeLessThanOrEqual(1e-5 * largest(reference));
        expect(largestDifference(singleFft(size).inverse(ours), x)).toBeLessThanOrEqual(1e-5 * largest(x));
      }),
      { numRuns: 20 },
    );
  }
});

test('the complex inverse agrees with the one in double precision, and refuses NaN and infinity', async () => {
  await loadSingleFft();
  const size = 128;
  const fft = singleComplexFft(size);
  fc.assert(
    fc.property(samples(2 * size, 2 * size), (spectrum) => {
      const reference = complexFft(size).inverse(spectrum, new Float64Array(2 * size));
      fft.spectrum.set(spectrum);
      fft.transformBack();
      expect(largestDifference(fft.output, reference)).toBeLessThanOrEqual(1e-6 * largest(spectrum));
    }),
    { numRuns: 20 },
  );
  fc.assert(
    fc.property(spoiled(2 * size), (spectrum) => {
      fft.spectrum.set(spectrum);
      expect(() => fft.transformBack()).toThrow(/^spectrum: value \d+ is (NaN|-?Infinity)/);
    }),
  );
});

test('views stay right when other plans have made the memory grow', async () => {
  await loadSingleFft();
  const small = new SingleFft(32);
  small.input.fill(0);
  small.input[0] = 1;
  const large = [2 ** 18, 2 ** 20, 2 ** 21].map((size) => new SingleFft(size));
  small.input[0] = 2;
  small.transform();
  expect(Array.from(small.spectrum.subarray(0, 4))).toEqual([2, 0, 2, 0]);
  large[2]!.input[0] = 5;
  large[2]!.transform();
  expect(large[2]!.spectrum[2 ** 21]).toBe(5);
});

test('NaN, infinity and wrong sizes are refused', async () => {
  await loadSingleFft();
  fc.assert(
    fc.property(spoiled(SIZE), (x) => {
      expect(() => singleFft(SIZE).forward(x)).toThrow(/^FFT input: value \d+ is (NaN|-?Infinity)/);
    }),
  );
  for (const size of [0, 16, 33, 7 * 32, Number.NaN]) expect(() => new SingleFft(size)).toThrow(RangeError);
});

test('the embedded binary is the installed package’s', () => {
  const simd = path.dirname(new URL(import.meta.resolve('@echogarden/pffft-wasm/simd')).pathname);
  expect(pffftWasmBase64).toBe(readFileSync(path.join(simd, 'pffft.wasm')).toString('base64'));
});

const PROGRAM = `
  import { loadSingleFft, singleFft } from '${pathToFileURL(path.resolve('shared/dsp/fft-single.ts'))}';
  await loadSingleFft();
  export const answer = singleFft(64).forward(new Float32Array(64).fill(1))[0];
`;

test('works in a worker thread', async () => {
  const source = `${PROGRAM}\nimport { parentPort } from 'node:worker_threads'; parentPort.postMessage(answer);`;
  const worker = new Worker(new URL(`data:text/javascript,${encodeURIComponent(source)}`));
  const answer = await new Promise((resolve, reject) => {
    worker.on('message', resolve);
    worker.on('error', reject);
  });
  await worker.terminate();
  expect(answer).toBe(64);
});

test('works from a bundle that stands alone, far from node_modules', async () => {
  const folder = mkdtempSync(path.join(tmpdir(), 'rumblepath-bundle-'));
  try {
    const entry = path.join(folder, 'program.js');
    writeFileSync(entry, `${PROGRAM}\nconsole.log(answer);`);
    await build({
      configFile: false,
      logLevel: 'silent',
      root: folder,
      ssr: { noExternal: true },
      build: { ssr: entry, outDir: path.join(folder, 'out'), target: 'esnext' },
    });
    const bundle = readdirSync(path.join(folder, 'out')).find((name) => /^program\.m?js$/.test(name));
    expect(bundle && existsSync(path.join(folder, 'out', bundle))).toBe(true);
    const alone = path.join(folder, 'alone.mjs');
    writeFileSync(alone, readFileSync(path.join(folder, 'out', bundle!)));
    rmSync(path.join(folder, 'out'), { recursive: true });
    const run = spawnSync(process.execPath, [alone], { encoding: 'utf8' });
    expect(run.stderr).toBe('');
    expect(run.stdout.trim()).toBe('64');
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});
