/**
 * `npm run soak`: the fault tests in their full size. 100 pulled leads, 280 kills, a drive of two hours, 10,000 damaged
 * databases: half an hour, and 12 GB of room in the folder for temporary files while it runs. Names of files
 * narrow it: `npm run soak -- power`.
 */
import { spawnSync } from 'node:child_process';
import { join } from 'node:path';

const root = join(import.meta.dirname, '..');
const names = process.argv.slice(2);
const files =
  names.length > 0 ? names.map((name) => `tests/faults/${name}`) : ['tests/faults', 'tests/recording/killed'];
const { status } = spawnSync(
  process.execPath,
  [
    join(root, 'node_modules/vitest/vitest.mjs'),
    'run',
    '--config',
    join(root, 'build/vitest.config.ts'),
    // One after the other: what is measured is the program, not how it shares two cores with a second test.
    '--no-file-parallelism',
    ...files,
  ],
  { cwd: root, stdio: 'inherit', env: { ...process.env, RUMBLEPATH_SOAK: '1' } },
);
process.exitCode = status ?? 1;
