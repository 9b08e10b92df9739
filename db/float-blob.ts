/**
 * float32 arrays as BLOBs. Little-endian, as every processor that Electron runs on stores them, so that no value
 * has to be touched one by one.
 */
export const blobOf = (values: Float32Array): Buffer =>
  Buffer.from(values.buffer, values.byteOffset, values.byteLength);

/** A copy: the BLOB's memory may start anywhere, a Float32Array must start on a multiple of four bytes. */
export function floatsOf(blob: Uint8Array): Float32Array {
  const values = new Float32Array(Math.floor(blob.byteLength / 4));
  new Uint8Array(values.buffer).set(blob.subarray(0, values.byteLength));
  return values;
}
