import { createHash } from 'node:crypto';
import { rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { GarageError } from '../../db/error.ts';
import type { SUPPORT_REQUESTS } from '../../shared/contract/support-requests.ts';
import { message } from '../../shared/messages/message.ts';
import type { Handlers } from '../service/dispatch.ts';
import { type SupportSurroundings, supportBundle } from './support-bundle.ts';

/** Shows the support bundle, and writes only what has been shown. */
export function supportHandlers(around: SupportSurroundings): Pick<Handlers, keyof typeof SUPPORT_REQUESTS> {
  let shown: { text: string; sha256: string } | null = null;
  return {
    'support.show': async () => {
      const text = await supportBundle(around);
      shown = { text, sha256: createHash('sha256').update(text).digest('hex') };
      return shown;
    },
    'support.write': async ({ folder, sha256 }) => {
      if (shown?.sha256 !== sha256) throw new GarageError(message('error.supportNotShown'));
      const path = join(
        folder,
        `rumblepath-support-${new Date().toISOString().replaceAll(/[:.]/g, '-')}.json`,
      );
      await writeSupportBundle(path, shown.text);
      return { path };
    },
  };
}

/** @throws {GarageError} when the file is there already or cannot be written; nothing is left of it then */
export async function writeSupportBundle(path: string, text: string): Promise<void> {
  try {
    await writeFile(path, text, { flag: 'wx' });
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code !== 'EEXIST') await rm(path, { force: true }).catch(() => {});
    throw new GarageError(message('error.supportNotWritten', { path }), { cause });
  }
}
