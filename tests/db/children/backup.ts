import { writeSync } from 'node:fs';
import { backupGarage } from '../../../db/backup.ts';
import { openGarage } from '../../../db/open.ts';

/** Backs the garage at argv[2] up to argv[3], again and again, and tells each backup once it is made. */
const garage = openGarage(process.argv[2]!);
for (let n = 0; ; n++) {
  await backupGarage(garage, process.argv[3]!);
  writeSync(1, `${n}\n`);
}
