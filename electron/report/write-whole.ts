import { randomUUID } from 'node:crypto';
import { open, rename, rm } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { message } from '../../shared/messages/message.ts';
import { ReportError } from './report-error.ts';

/**
 * Writes a file that is there as a whole or not at all; one of that name is replaced.
 * @throws {ReportError}
 */
export async function writeWhole(path: string, content: string | Uint8Array): Promise<void> {
  const unfinished = join(dirname(path), `.${basename(path)}.${randomUUID()}.unfinished`);
  try {
    const file = await open(unfinished, 'wx');
    try {
      await file.writeFile(content);
      await file.sync();
    } finally {
      await file.close();
    }
    await rename(unfinished, path);
  } catch (cause) {
    await rm(unfinished, { force: true });
    throw new ReportError(message('error.reportNotWritten', { path }), { cause });
  }
}
