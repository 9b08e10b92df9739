import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { type Garage, openGarage } from '../../db/open.ts';

/** A folder of its own for a test, gone when the test is over. */
export function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'rumblepath-db-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

export function newGarage(path = join(temporaryFolder(), 'garage.db')): Garage {
  const garage = openGarage(path);
  onTestFinished(() => garage.close());
  return garage;
}
