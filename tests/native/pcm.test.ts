import { expect, test } from 'vitest';
import { BYTES_PER_SAMPLE, deinterleave, interleave, type SampleEncoding } from '../../native/pcm.ts';

test.each<[SampleEncoding, number]>([
  ['int16', 2 ** -15],
  ['int24', 2 ** -23],
  ['int32', 2 ** -24], // float32 itself holds no more than 24 bits
  ['float32', 0],
])('%s survives a round trip within one step', (encoding, step) => {
  const planes = [0, 1, 2].map((c) => Float32Array.from({ length: 64 }, (_, f) => Math.sin(f * 0.7 + c)));
  const bytes = new Uint8Array(64 * 3 * BYTES_PER_SAMPLE[encoding]);
  interleave(planes, 0, 64, encoding, bytes);
  const back = planes.map(() => new Float32Array(64));
  deinterleave(bytes, encoding, 64, back);
  back.forEach((plane, c) => {
    const error = plane.reduce((worst, v, f) => Math.max(worst, Math.abs(v - planes[c]![f]!)), 0);
    expect(error).toBeLessThanOrEqual(step);
  });
});

test('int24 is little-endian two’s complement with 1.0 at 2^23', () => {
  const bytes = Uint8Array.from([0x00, 0x00, 0x80, 0xff, 0xff, 0x7f, 0xff, 0xff, 0xff, 0x00, 0x00, 0x40]);
  const out = [new Float32Array(4)];
  deinterleave(bytes, 'int24', 4, out);
  expect([...out[0]!]).toEqual([-1, (2 ** 23 - 1) / 2 ** 23, -(2 ** -23), 0.5]);
});

test('what is beyond full scale clips, and NaN becomes silence', () => {
  const bytes = new Uint8Array(8);
  interleave([Float32Array.of(1, -1.5, Number.NaN, 9)], 0, 4, 'int16', bytes);
  expect([...new Int16Array(bytes.buffer)]).toEqual([32767, -32768, 0, 32767]);
});

test('bytes that lie at an odd address are read as well', () => {
  // A Buffer's own slice() would be a view at the same address.
  const store = Buffer.alloc(9);
  store.writeFloatLE(0.25, 1);
  const out = [new Float32Array(1)];
  deinterleave(store.subarray(1), 'float32', 1, out);
  expect(out[0]![0]).toBe(0.25);
});
