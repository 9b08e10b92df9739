import { execFile } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { expect, it } from 'vitest';
import { temporaryFolder } from '../db/temporary.ts';

const run = promisify(execFile);
const support = (dataFolder: string, ...args: string[]) =>
  run(process.execPath, [join(import.meta.dirname, '../../electron/cli/main.ts'), 'support', ...args], {
    env: { ...process.env, RUMBLEPATH_DATA: dataFolder },
  });

it('shows what it contains, writes just that, and never over another file', async () => {
  const folder = temporaryFolder();
  const out = join(folder, 'support.json');
  const shown = await support(folder);
  expect(existsSync(out)).toBe(false);
  expect(JSON.parse(shown.stdout)).toMatchObject({ garage: { faults: 0, rows: { vehicle: 0 } } });

  const { stdout } = await support(folder, '--out', out);
  expect(readFileSync(out, 'utf8')).toBe(stdout);
  await expect(support(folder, '--out', out)).rejects.toMatchObject({ code: 2 });
  expect(readFileSync(out, 'utf8')).toBe(stdout);
});

it('is to be had where the garage cannot be opened', async () => {
  const folder = temporaryFolder();
  writeFileSync(join(folder, 'garage.db'), 'no database at all, and longer than its header '.repeat(40));
  const { stdout } = await support(folder);
  expect(JSON.parse(stdout)).toMatchObject({
    garage: { error: 'GarageError', cause: { error: 'SqliteError', code: 'SQLITE_NOTADB' } },
  });
});
