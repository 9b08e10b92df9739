import { writeSync } from 'node:fs';
import { openGarage } from '../../../db/open.ts';

/** Says when it begins to open, and so to migrate, the garage at argv[2]; then waits to be killed. */
writeSync(1, 'opening\n');
openGarage(process.argv[2]!);
setInterval(() => {}, 1000);
