import { writeSync } from 'node:fs';
import { openGarage } from '../../../db/open.ts';
import { recordingIn, secondOf } from '../recording.ts';

/** Records into the garage at argv[2] as fast as it goes, and tells each second once it is committed. */
const garage = openGarage(process.argv[2]!);
const { run } = recordingIn(garage);
for (let n = 0; ; n++) {
  garage.runs.appendSeconds(run.id, [secondOf(n)]);
  if (n % 7 === 0) garage.runs.addMark(run.id, { at_s: n, text: `mark ${n}` });
  writeSync(1, `${n}\n`);
}
