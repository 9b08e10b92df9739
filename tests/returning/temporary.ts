import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll } from 'vitest';

/** A folder for all tests of a file, gone after the last of them. */
export function deleteAfterAll(): string {
  const folder = mkdtempSync(join(tmpdir(), 'rumblepath-returning-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}
