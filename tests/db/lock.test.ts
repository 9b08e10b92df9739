import { fork } from 'node:child_process';
import { once } from 'node:events';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { lockGarage } from '../../db/lock.ts';
import { temporaryFolder } from './temporary.ts';

const newPath = () => join(temporaryFolder(), 'garage.db');

test('one program at a time stands on a garage', () => {
  const path = newPath();
  const unlock = lockGarage(path);
  expect(() => lockGarage(path)).toThrow(/open already/);
  unlock();
  lockGarage(path)();
});

test('a killed program leaves no lock behind', async () => {
  const path = newPath();
  const holder = join(path, '../hold.ts');
  const lock = JSON.stringify(join(import.meta.dirname, '../../db/lock.ts'));
  writeFileSync(
    holder,
    `import { lockGarage } from ${lock};\nlockGarage(${JSON.stringify(path)});\nprocess.send('held');\nsetInterval(() => {}, 1000);\n`,
  );
  const child = fork(holder);
  await once(child, 'message');
  expect(() => lockGarage(path)).toThrow(/open already/);
  child.kill('SIGKILL');
  await once(child, 'exit');
  lockGarage(path)();
});
