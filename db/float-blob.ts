/**
 * float32 arrays as BLOBs. Little-endian, as every processor that Electron runs on stores them, so that no value
 * has to be touched one by one.
 */
export const blobOf = (values: Float32Array): Buffer =>
  Buffer.from(values.buffer, values.byteOffset, values.byteLength);

/**
 * A BLOB's memory may start anywhere, a Float32Array must start on a multiple of four bytes: this copies it.
 * better-sqlite3 hands out a Buffer, libsql an ArrayBuffer.
 */
export const floatsOf = (blob: Uint8Array | ArrayBuffer): Float32Array =>
  new Float32Array(new Uint8Array(blob).buffer);
