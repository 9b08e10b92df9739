import type { FileHandle } from 'node:fs/promises';
import { type Message, message } from '../../shared/messages/message.ts';
import { ToldError } from '../../shared/messages/told-error.ts';
import { BYTES_PER_SAMPLE, type SampleEncoding } from '../pcm.ts';

/**
 * The chunk structure of WAV (RIFF) and RF64 files, see EBU Tech 3306 and Microsoft's "Multiple Channel
 * Audio Data and WAVE Files" for WAVE_FORMAT_EXTENSIBLE. BW64 (ITU-R BS.2088) shares the ds64 chunk.
 */
export interface WavFormat {
  readonly channels: number;
  readonly sampleRate_Hz: number;
  readonly encoding: SampleEncoding;
}

/** The message names the file and is fit for the technician. */
export class WavError extends ToldError {
  override readonly name = 'WavError';
}

export interface WavLayout {
  readonly format: WavFormat;
  readonly frameBytes: number;
  readonly dataStart: number;
  /** What the file really holds, in whole frames. */
  readonly frames: number;
  /** False when the header's sizes are not those of the file: it was written by a process that was ended. */
  readonly headerIsTrue: boolean;
  /** Where a ds64 chunk stands, or a JUNK chunk that has room for one; null without. */
  readonly ds64At: number | null;
  /** Where the frame count of the `fact` chunk stands. */
  readonly factAt: number | null;
}

export const MAX_CHANNELS = 32;
const MAX_RATE_HZ = 1_000_000;
/** A damaged file must not be walked for ever in eight-byte steps. */
const MAX_CHUNKS = 1000;
const UNKNOWN_32 = 0xffff_ffff;
const DS64_BODY = 28;

const TAG_PCM = 1;
const TAG_FLOAT = 3;
const TAG_EXTENSIBLE = 0xfffe;
/** Bytes 2 to 15 of the KSDATAFORMAT_SUBTYPE GUIDs; bytes 0 and 1 are the format tag. */
const SUBTYPE_TAIL = Buffer.from('000000001000800000aa00389b71', 'hex');

/** Chunks that writers put after the samples: known by name even when the file was cut short inside them. */
const TRAILERS = new Set([
  'LIST',
  'id3 ',
  'ID3 ',
  'bext',
  'iXML',
  'axml',
  'chna',
  'cue ',
  'smpl',
  'inst',
  'plst',
  'PEAK',
  'JUNK',
  'PAD ',
]);

async function readAt(file: FileHandle, at: number, bytes: number): Promise<Buffer> {
  const buffer = Buffer.alloc(bytes);
  const { bytesRead } = await file.read(buffer, 0, bytes, at);
  return buffer.subarray(0, bytesRead);
}

function parseFormat(fmt: Buffer, fail: (why: Message) => never): WavFormat {
  if (fmt.length < 16) fail(message('wav.formatCut'));
  let tag = fmt.readUInt16LE(0);
  const channels = fmt.readUInt16LE(2);
  const sampleRate_Hz = fmt.readUInt32LE(4);
  const blockAlign = fmt.readUInt16LE(12);
  const bits = fmt.readUInt16LE(14);
  if (tag === TAG_EXTENSIBLE) {
    if (fmt.length < 40) fail(message('wav.extensibleCut'));
    if (!fmt.subarray(26, 40).equals(SUBTYPE_TAIL)) fail(message('wav.notPlain'));
    tag = fmt.readUInt16LE(24);
  }
  const encoding: SampleEncoding | null =
    tag === TAG_FLOAT && bits === 32
      ? 'float32'
      : tag === TAG_PCM && (bits === 16 || bits === 24 || bits === 32)
        ? `int${bits}`
        : null;
  if (!encoding) return fail(message('wav.encoding', { tag, bits }));
  if (channels < 1 || channels > MAX_CHANNELS)
    fail(message('wav.channels', { channels, most: MAX_CHANNELS }));
  if (sampleRate_Hz < 1 || sampleRate_Hz > MAX_RATE_HZ) fail(message('wav.rate', { rate_Hz: sampleRate_Hz }));
  if (blockAlign !== channels * BYTES_PER_SAMPLE[encoding])
    fail(message('wav.frameSize', { bytes: blockAlign, channels, bits }));
  return { channels, sampleRate_Hz, encoding };
}

/** Whether whole chunks, and nothing else, follow from `at` to the end of the file. */
async function onlyChunksFollow(file: FileHandle, at: number, fileBytes: number): Promise<boolean> {
  for (let walked = 0; at < fileBytes && walked < MAX_CHUNKS; walked++) {
    const head = await readAt(file, at, 8);
    // One to seven stray bytes are a pad byte or a cut chunk head, not a frame worth of sound.
    if (head.length < 8) return walked > 0 || head.length <= 1;
    const id = head.toString('latin1', 0, 4);
    if (walked === 0 && TRAILERS.has(id)) return true;
    if (!/^[\x20-\x7e]{4}$/.test(id)) return false;
    const size = head.readUInt32LE(4);
    at += 8 + size + (size % 2);
    // The pad byte of the last chunk is often forgotten.
    if (at > fileBytes + 1) return false;
  }
  return at >= fileBytes;
}

/**
 * Walks the chunks up to the samples and finds out how many frames the file holds. A size of the header is
 * trusted only if the file bears it out: an interrupted recording has a size that is too small, 0 or -1.
 * @param name the file's name for messages
 * @throws {WavError} when it is not such a file
 */
export async function readLayout(file: FileHandle, fileBytes: number, name: string): Promise<WavLayout> {
  const fail = (why: Message): never => {
    throw new WavError(message('error.wavUnreadable', { file: name, why }));
  };
  const riff = await readAt(file, 0, 12);
  const kind = riff.toString('latin1', 0, 4);
  if (
    riff.length < 12 ||
    riff.toString('latin1', 8, 12) !== 'WAVE' ||
    !['RIFF', 'RF64', 'BW64'].includes(kind)
  )
    fail(message('wav.beginning'));
  const riffSize = riff.readUInt32LE(4);

  let format: WavFormat | null = null;
  let ds64: { at: number; riffBytes: bigint; dataBytes: bigint } | null = null;
  let ds64At: number | null = null;
  let factAt: number | null = null;
  let at = 12;
  for (let walked = 0; walked < MAX_CHUNKS; walked++) {
    const head = await readAt(file, at, 8);
    if (head.length < 8) fail(message('wav.endsEarly'));
    const id = head.toString('latin1', 0, 4);
    const size = head.readUInt32LE(4);
    const body = at + 8;
    if (id === 'fmt ') format = parseFormat(await readAt(file, body, Math.min(size, 40)), fail);
    else if (id === 'fact' && size >= 4) factAt = body;
    else if (id === 'JUNK' && size === DS64_BODY && at === 12) ds64At = at;
    else if (id === 'ds64' && size >= DS64_BODY) {
      const sizes = await readAt(file, body, 16);
      if (sizes.length < 16) fail(message('wav.endsEarly'));
      ds64 = { at, riffBytes: sizes.readBigUInt64LE(0), dataBytes: sizes.readBigUInt64LE(8) };
      ds64At = at;
    } else if (id === 'data') {
      if (!format) return fail(message('wav.noFormat'));
      const frameBytes = format.channels * BYTES_PER_SAMPLE[format.encoding];
      const held = fileBytes - body;
      const wide = size === UNKNOWN_32 && ds64 !== null && kind !== 'RIFF';
      // Past 2^53 the number is only "too long", for which losing its last digits does not matter.
      const claimed = wide ? Number(ds64!.dataBytes) : size;
      const claimIsRight =
        claimed <= held && (await onlyChunksFollow(file, body + claimed + (claimed % 2), fileBytes));
      const dataBytes = claimIsRight ? claimed : held;
      const riffBytes = wide ? Number(ds64!.riffBytes) : riffSize;
      const frames = Math.floor(dataBytes / frameBytes);
      return {
        format,
        frameBytes,
        dataStart: body,
        frames,
        headerIsTrue: claimIsRight && claimed === frames * frameBytes && riffBytes + 8 >= body + claimed,
        ds64At,
        factAt,
      };
    }
    at = body + size + (size % 2);
  }
  return fail(message('wav.tooManyParts'));
}

const JUNK_AT = 12;
const FMT_AT = JUNK_AT + 8 + DS64_BODY;
const FACT_AT = FMT_AT + 8 + 40;
/** Bytes in front of the first sample in files that WavWriter makes. */
export const HEADER_BYTES = FACT_AT + 8 + 4 + 8;

/** Where the sizes of a header stand, so that they can be rewritten without touching the rest. */
export interface SizeFields {
  readonly ds64At: number | null;
  readonly factAt: number | null;
  readonly dataStart: number;
  readonly frameBytes: number;
}

/** One piece of a header and its place in the file. */
export interface HeaderPatch {
  readonly at: number;
  readonly bytes: Buffer;
}

/** Whether the sizes need 64 bits: the RIFF size counts all but its first eight bytes. */
export function needsRf64(fields: SizeFields, frames: number): boolean {
  return fields.dataStart + frames * fields.frameBytes - 8 >= UNKNOWN_32;
}

/** The pieces that make a header tell `frames`; above 4 GiB they turn the file into RF64. */
export function sizePatches(fields: SizeFields, frames: number): HeaderPatch[] {
  const dataBytes = frames * fields.frameBytes;
  const riffBytes = fields.dataStart + dataBytes - 8;
  const wide = needsRf64(fields, frames);
  const word = (value: number) => {
    const bytes = Buffer.alloc(4);
    bytes.writeUInt32LE(wide ? UNKNOWN_32 : value);
    return bytes;
  };
  const patches: HeaderPatch[] = [
    { at: 0, bytes: Buffer.concat([Buffer.from(wide ? 'RF64' : 'RIFF', 'latin1'), word(riffBytes)]) },
    { at: fields.dataStart - 4, bytes: word(dataBytes) },
  ];
  if (fields.factAt !== null) patches.push({ at: fields.factAt, bytes: word(frames) });
  if (fields.ds64At !== null) {
    const ds64 = Buffer.alloc(8 + DS64_BODY);
    ds64.write(wide ? 'ds64' : 'JUNK', 'latin1');
    ds64.writeUInt32LE(DS64_BODY, 4);
    if (wide) {
      ds64.writeBigUInt64LE(BigInt(riffBytes), 8);
      ds64.writeBigUInt64LE(BigInt(dataBytes), 16);
      ds64.writeBigUInt64LE(BigInt(frames), 24);
    }
    patches.push({ at: fields.ds64At, bytes: ds64 });
  }
  return patches;
}

/** The header of a float32 file of our own: JUNK with room for ds64, extensible format, fact, data. */
export function floatHeader(channels: number, sampleRate_Hz: number): { bytes: Buffer; fields: SizeFields } {
  const frameBytes = channels * 4;
  const bytes = Buffer.alloc(HEADER_BYTES);
  bytes.write('RIFF', 0, 'latin1');
  bytes.write('WAVE', 8, 'latin1');
  bytes.write('fmt ', FMT_AT, 'latin1');
  bytes.writeUInt32LE(40, FMT_AT + 4);
  const fmt = FMT_AT + 8;
  bytes.writeUInt16LE(TAG_EXTENSIBLE, fmt);
  bytes.writeUInt16LE(channels, fmt + 2);
  bytes.writeUInt32LE(sampleRate_Hz, fmt + 4);
  bytes.writeUInt32LE(sampleRate_Hz * frameBytes, fmt + 8);
  bytes.writeUInt16LE(frameBytes, fmt + 12);
  bytes.writeUInt16LE(32, fmt + 14);
  bytes.writeUInt16LE(22, fmt + 16);
  bytes.writeUInt16LE(32, fmt + 18);
  // Channel mask 0: the channels are pickups, not loudspeakers.
  bytes.writeUInt32LE(0, fmt + 20);
  bytes.writeUInt16LE(TAG_FLOAT, fmt + 24);
  SUBTYPE_TAIL.copy(bytes, fmt + 26);
  bytes.write('fact', FACT_AT, 'latin1');
  bytes.writeUInt32LE(4, FACT_AT + 4);
  bytes.write('data', HEADER_BYTES - 8, 'latin1');
  const fields: SizeFields = { ds64At: JUNK_AT, factAt: FACT_AT + 8, dataStart: HEADER_BYTES, frameBytes };
  for (const patch of sizePatches(fields, 0)) patch.bytes.copy(bytes, patch.at);
  return { bytes, fields };
}
