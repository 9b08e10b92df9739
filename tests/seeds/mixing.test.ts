import { expect, it } from 'vitest';
import { MixingMatrix } from '../../seeds/road-drive/mixing.ts';
import { Random } from '../../seeds/road-drive/random.ts';

const TAPS = 64;

/** Transfer function of a short impulse response, by the definition of the discrete Fourier transform. */
function transferOf(response: readonly number[]): Float64Array<ArrayBuffer> {
  const transfer = new Float64Array(TAPS + 2);
  for (let bin = 0; bin <= TAPS / 2; bin++) {
    response.forEach((x, n) => {
      transfer[2 * bin]! += x * Math.cos((2 * Math.PI * bin * n) / TAPS);
      transfer[2 * bin + 1]! -= x * Math.sin((2 * Math.PI * bin * n) / TAPS);
    });
  }
  return transfer;
}

it('convolves every force with every path, without a seam between blocks', () => {
  const random = new Random('mixing');
  const noise = (length: number) => Array.from({ length }, () => random.normal());
  const responses = Array.from({ length: 2 }, () => Array.from({ length: 3 }, () => noise(40)));
  const mixing = new MixingMatrix(
    responses.map((row) => row.map(transferOf)),
    TAPS,
  );
  const blocks = 3;
  const length = blocks * mixing.blockFrames;
  const forces = responses.map(() => Float32Array.from(noise(length)));
  const mixed = Array.from({ length: 3 }, () => new Float32Array(length));
  for (let at = 0; at < length; at += mixing.blockFrames) {
    const part = (samples: Float32Array) => samples.subarray(at, at + mixing.blockFrames);
    mixing.process(forces.map(part), mixed.map(part));
  }
  mixed.forEach((samples, output) => {
    for (let n = 0; n < length; n++) {
      let direct = 0;
      forces.forEach((force, k) => {
        responses[k]![output]!.forEach((h, m) => {
          if (n >= m) direct += h * force[n - m]!;
        });
      });
      expect(Math.abs(samples[n]! - direct)).toBeLessThan(1e-4);
    }
  });
});
