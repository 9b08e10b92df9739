import { mkdirSync } from 'node:fs';
import { statfs } from 'node:fs/promises';
import { join } from 'node:path';

/** Where the recordings live, and what room is left there. */
export class RecordingsFolder {
  readonly path: string;

  constructor(dataDir: string) {
    this.path = join(dataDir, 'recordings');
    mkdirSync(this.path, { recursive: true });
  }

  file(name: string): string {
    return join(this.path, name);
  }

  /** Bytes that can still be written, or null where the system does not say. */
  async freeBytes(): Promise<number | null> {
    try {
      const { bavail, bsize } = await statfs(this.path);
      return bavail * bsize;
    } catch {
      return null;
    }
  }
}
