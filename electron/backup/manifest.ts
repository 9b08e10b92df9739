import { createHash } from 'node:crypto';
import { createReadStream, createWriteStream } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { Transform } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { z } from 'zod';
import { GarageError } from '../../db/error.ts';
import { message } from '../../shared/messages/message.ts';

export const MANIFEST = 'manifest.json';

/** Folders beside the database whose files belong to it. */
export const FOLDERS = ['recordings', 'attachments'] as const;
export type Folder = (typeof FOLDERS)[number];

const fileName = z.string().regex(/^[^\\/\0]+$/, 'must be a plain file name');
const HashedFileSchema = z.object({
  file: fileName,
  bytes: z.number().int().nonnegative(),
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
});

/** What a backup folder holds. It is written last: a folder without it is no backup. */
export const ManifestSchema = z.object({
  formatVersion: z.literal(1),
  madeAt: z.iso.datetime(),
  garage: HashedFileSchema,
  files: z.array(
    HashedFileSchema.extend({
      folder: z.enum(FOLDERS),
      /** When it was last written to: an unchanged one is not copied again. */
      modified_ms: z.number(),
    }),
  ),
  /** Files that the garage names and that were not there. */
  missing: z.array(fileName),
});
export type Manifest = z.infer<typeof ManifestSchema>;

/** @throws {GarageError} when the folder is no backup */
export async function readManifest(folder: string): Promise<Manifest> {
  try {
    return ManifestSchema.parse(JSON.parse(await readFile(join(folder, MANIFEST), 'utf8')));
  } catch (cause) {
    throw new GarageError(message('error.notABackup', { folder, manifest: MANIFEST }), { cause });
  }
}

/** Copies a file to a new one, flushed to the disk, and tells what has been written. */
export async function copyHashed(from: string, to: string): Promise<{ bytes: number; sha256: string }> {
  const hash = createHash('sha256');
  let bytes = 0;
  const counting = new Transform({
    transform(chunk: Buffer, _, done) {
      hash.update(chunk);
      bytes += chunk.length;
      done(null, chunk);
    },
  });
  await pipeline(
    createReadStream(from, { highWaterMark: 1 << 20 }),
    counting,
    createWriteStream(to, { flags: 'wx', flush: true }),
  );
  return { bytes, sha256: hash.digest('hex') };
}

export async function hashOf(path: string): Promise<{ bytes: number; sha256: string }> {
  const hash = createHash('sha256');
  let bytes = 0;
  for await (const chunk of createReadStream(path, { highWaterMark: 1 << 20 })) {
    hash.update(chunk as Buffer);
    bytes += (chunk as Buffer).length;
  }
  return { bytes, sha256: hash.digest('hex') };
}
