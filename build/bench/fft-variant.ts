/**
 * Times one real transform in a process of its own and prints JSON: node fft-variant.ts VARIANT SIZE. Mixed kinds
 * of arrays in one process would slow fft.js down by two, so every variant has its own.
 */

import { RealFft } from '../../shared/dsp/fft.ts';
import { loadSingleFft, SingleFft } from '../../shared/dsp/fft-single.ts';

const [variant, size] = process.argv.slice(2);
const length = Number(size);

function medianTime_us(transform: () => void): number {
  const times: number[] = [];
  const until = performance.now() + 1000;
  while (performance.now() < until || times.length < 20) {
    const start = performance.now();
    for (let n = 0; n < 10; n++) transform();
    times.push((performance.now() - start) * 100);
  }
  // The first half is for the compiler.
  const settled = times.slice(times.length >> 1).sort((a, b) => a - b);
  return settled[settled.length >> 1]!;
}

async function transformFor(name: string | undefined): Promise<() => void> {
  if (name === 'double') {
    const samples = Float64Array.from({ length }, () => Math.random() - 0.5);
    const out = new Float64Array(length + 2);
    const fft = new RealFft(length);
    return () => fft.forward(samples, out);
  }
  await loadSingleFft();
  const samples = Float32Array.from({ length }, () => Math.random() - 0.5);
  const out = new Float32Array(length + 2);
  const fft = new SingleFft(length);
  return () => fft.forward(samples, out);
}

process.stdout.write(JSON.stringify({ median_us: medianTime_us(await transformFor(variant)) }));
