import { createHash, randomUUID } from 'node:crypto';
import { mkdirSync, readdirSync, rmSync, statSync } from 'node:fs';
import { open, readFile, rename, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { ATTACHMENT_BYTES, type Attachment } from '../../shared/contract/visit-work.ts';
import { message } from '../../shared/messages/message.ts';
import { FieldError } from '../service/field-error.ts';

type MediaType = Attachment['mediaType'];

/** How a file of each kind begins (JPEG: ISO/IEC 10918-1 start of image; PNG: ISO/IEC 15948 signature). */
const BEGINS: Record<MediaType, readonly number[]> = {
  'image/jpeg': [0xff, 0xd8, 0xff],
  'image/png': [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a],
};
const ENDING: Record<MediaType, string> = { 'image/jpeg': 'jpg', 'image/png': 'png' };
const UNFINISHED = '.unfinished';
const LEFT_FOR_ms = 3_600_000;

export const sha256Of = (bytes: Uint8Array): string => createHash('sha256').update(bytes).digest('hex');

/** Where the pictures lie: files of the program's own names, complete or not there at all. */
export class AttachmentsFolder {
  readonly path: string;

  constructor(dataFolder: string) {
    this.path = join(dataFolder, 'attachments');
    mkdirSync(this.path, { recursive: true });
  }

  /**
   * Writes a picture under a name of its own and returns it.
   * @throws {FieldError} when it is empty, too large, or not what it says
   */
  async write(bytes: Uint8Array, mediaType: MediaType): Promise<string> {
    if (bytes.length === 0) throw new FieldError('base64', message('error.photoEmpty'));
    if (bytes.length > ATTACHMENT_BYTES) {
      throw new FieldError('base64', message('error.photoTooLarge', { most_kB: ATTACHMENT_BYTES / 1000 }));
    }
    if (!BEGINS[mediaType].every((byte, i) => bytes[i] === byte)) {
      throw new FieldError('base64', message('error.photoOtherKind'));
    }
    const name = `${randomUUID()}.${ENDING[mediaType]}`;
    const unfinished = join(this.path, name + UNFINISHED);
    const file = await open(unfinished, 'wx');
    try {
      await file.writeFile(bytes);
      await file.sync();
    } catch (cause) {
      await rm(unfinished, { force: true });
      throw cause;
    } finally {
      await file.close();
    }
    await rename(unfinished, join(this.path, name));
    return name;
  }

  /** @throws {FieldError} when the file is gone or has been changed */
  async read(name: string, sha256: string): Promise<Uint8Array> {
    let bytes: Uint8Array;
    try {
      bytes = await readFile(join(this.path, name));
    } catch {
      throw new FieldError('attachmentId', message('error.photoGone'));
    }
    if (sha256Of(bytes) !== sha256) {
      throw new FieldError('attachmentId', message('error.photoChanged'));
    }
    return bytes;
  }

  async remove(name: string): Promise<void> {
    await rm(join(this.path, name), { force: true });
  }

  /** Removes what an interrupted program left: files that belong to no attachment, and are not just being written. */
  sweep(known: ReadonlySet<string>): void {
    for (const name of readdirSync(this.path)) {
      const path = join(this.path, name);
      if (!known.has(name) && Date.now() - statSync(path).mtimeMs > LEFT_FOR_ms)
        rmSync(path, { force: true });
    }
  }
}
