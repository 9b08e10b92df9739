import { open, stat } from 'node:fs/promises';
import { basename } from 'node:path';
import { message } from '../../shared/messages/message.ts';
import { needsRf64, readLayout, sizePatches, WavError } from './wav-header.ts';

export interface WavRepair {
  /** Whether anything had to be changed. */
  readonly repaired: boolean;
  readonly frames: number;
}

/**
 * Makes the header of an interrupted recording true to the samples that the file holds, and cuts off a last
 * frame that is not whole. A sound file is left as it is.
 * @throws {WavError} when the file is not a WAV recording or cannot be written
 */
export async function repairWav(path: string): Promise<WavRepair> {
  const name = basename(path);
  try {
    const info = await stat(path);
    if (!info.isFile()) throw new WavError(message('error.wavNotAFile', { file: name }));
    const file = await open(path, 'r+');
    try {
      const layout = await readLayout(file, info.size, name);
      const { frames } = layout;
      if (layout.headerIsTrue) return { repaired: false, frames };
      if (layout.ds64At === null && needsRf64(layout, frames))
        throw new WavError(message('error.wavTooLongToMend', { file: name }));
      await file.truncate(layout.dataStart + frames * layout.frameBytes);
      for (const patch of sizePatches(layout, frames))
        await file.write(patch.bytes, 0, patch.bytes.length, patch.at);
      await file.datasync();
      return { repaired: true, frames };
    } finally {
      await file.close();
    }
  } catch (cause) {
    if (cause instanceof WavError) throw cause;
    throw new WavError(message('error.wavNotMended', { file: name }), { cause });
  }
}
