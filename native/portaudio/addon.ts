import { createRequire } from 'node:module';
import type { DeviceInfo, getHostAPIs } from 'naudiodon';

/**
 * naudiodon's compiled part. Its stream wrapper ends the stream at the first overflow or, with closeOnError
 * off, hides overflows in a buffered standard output; the calls beneath give each one together with its read
 * or write. Never load this in the main process: PortAudio can freeze or crash the process it runs in.
 */
export interface Addon {
  getDevices(): DeviceInfo[];
  getHostAPIs(): ReturnType<typeof getHostAPIs>;
  /** Opens a stream; throws when PortAudio refuses. */
  create(options: { inOptions: StreamOptions } | { outOptions: StreamOptions }): AddonStream;
}

export interface StreamOptions {
  readonly deviceId?: number;
  readonly sampleRate: number;
  readonly channelCount: number;
  readonly sampleFormat: 1 | 16 | 24 | 32;
  /** Blocks between PortAudio's thread and ours; when they are used up PortAudio's thread waits. */
  readonly maxQueue: number;
  readonly framesPerBuffer?: number;
  /** True makes `read` and `write` return PortAudio's complaints. */
  readonly closeOnError: boolean;
}

/** A stream that is collected while it runs takes the process with it: hold it until `quit` resolves. */
export interface AddonStream {
  start(): void;
  /** Waits for exactly `bytes` bytes. With `err` set the bytes of this read are gone. */
  read(bytes: number): Promise<{ err?: string; buf?: Buffer; finished?: boolean }>;
  /** Resolves when the block is in the queue, with PortAudio's complaint if there was one since the last. */
  write(block: Buffer): Promise<string | undefined>;
  /** Call it once: of two at the same time one never resolves. */
  quit(how: 'WAIT'): Promise<void>;
}

/** Loads the addon, which initialises nothing yet. */
export function loadAddon(): Addon {
  return createRequire(import.meta.url)('naudiodon/build/Release/naudiodon.node') as Addon;
}
