/**
 * Interleaved PCM bytes to planar float32 and back. Integers are little-endian two's complement, 1.0 is
 * full scale (2^(bits-1)), so +1.0 itself clips to the largest integer. Used by WAV files and by PortAudio.
 */
export type SampleEncoding = 'int16' | 'int24' | 'int32' | 'float32';

export const BYTES_PER_SAMPLE: Readonly<Record<SampleEncoding, number>> = {
  int16: 2,
  int24: 3,
  int32: 4,
  float32: 4,
};

const INT16_SCALE = 2 ** 15;
const INT24_SCALE = 2 ** 23;
const INT32_SCALE = 2 ** 31;

/** Typed views need alignment; a chunk cut out of a larger buffer may lack it. */
function aligned(bytes: Uint8Array, size: number): Uint8Array {
  return bytes.byteOffset % size === 0 ? bytes : new Uint8Array(bytes);
}

/**
 * Spreads interleaved samples over one array per channel.
 * @param bytes whole frames from its start on; at least `frames` of them
 * @param out one array per channel, written from `outFrame` on
 */
export function deinterleave(
  bytes: Uint8Array,
  encoding: SampleEncoding,
  frames: number,
  out: readonly Float32Array[],
  outFrame = 0,
): void {
  const channels = out.length;
  if (encoding === 'int24') {
    for (let c = 0; c < channels; c++) {
      const plane = out[c]!;
      let i = c * 3;
      for (let f = 0; f < frames; f++, i += channels * 3) {
        // The top byte is shifted to bit 31 and back, which carries the sign.
        const sample = ((bytes[i + 2]! << 24) >> 8) | (bytes[i + 1]! << 8) | bytes[i]!;
        plane[outFrame + f] = sample / INT24_SCALE;
      }
    }
    return;
  }
  const whole = aligned(bytes, BYTES_PER_SAMPLE[encoding]);
  const count = frames * channels;
  const [samples, scale] =
    encoding === 'int16'
      ? [new Int16Array(whole.buffer, whole.byteOffset, count), INT16_SCALE]
      : encoding === 'int32'
        ? [new Int32Array(whole.buffer, whole.byteOffset, count), INT32_SCALE]
        : [new Float32Array(whole.buffer, whole.byteOffset, count), 1];
  for (let c = 0; c < channels; c++) {
    const plane = out[c]!;
    for (let f = 0, i = c; f < frames; f++, i += channels) plane[outFrame + f] = samples[i]! / scale;
  }
}

/** Rounds to the nearest integer of the scale and clips; NaN becomes 0. */
function toInteger(sample: number, scale: number): number {
  const scaled = Math.round(sample * scale);
  return scaled >= scale ? scale - 1 : scaled < -scale ? -scale : scaled || 0;
}

/**
 * Weaves one array per channel into interleaved bytes.
 * @param planes one array per channel, read from `fromFrame` on
 * @param out written from byte `outByte` on, which must be a multiple of the sample's size
 */
export function interleave(
  planes: readonly Float32Array[],
  fromFrame: number,
  frames: number,
  encoding: SampleEncoding,
  out: Uint8Array,
  outByte = 0,
): void {
  const channels = planes.length;
  const count = frames * channels;
  const start = out.byteOffset + outByte;
  if (encoding === 'float32') {
    const samples = new Float32Array(out.buffer, start, count);
    for (let c = 0; c < channels; c++) {
      const plane = planes[c]!;
      for (let f = 0, i = c; f < frames; f++, i += channels) samples[i] = plane[fromFrame + f]!;
    }
    return;
  }
  const view = new DataView(out.buffer, start, count * BYTES_PER_SAMPLE[encoding]);
  for (let c = 0; c < channels; c++) {
    const plane = planes[c]!;
    for (let f = 0, i = c; f < frames; f++, i += channels) {
      const sample = plane[fromFrame + f]!;
      if (encoding === 'int16') view.setInt16(i * 2, toInteger(sample, INT16_SCALE), true);
      else if (encoding === 'int32') view.setInt32(i * 4, toInteger(sample, INT32_SCALE), true);
      else {
        const integer = toInteger(sample, INT24_SCALE);
        view.setUint16(i * 3, integer & 0xffff, true);
        view.setInt8(i * 3 + 2, integer >> 16);
      }
    }
  }
}
