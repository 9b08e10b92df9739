import { join } from 'node:path';
import { createInterface } from 'node:readline/promises';
import type { Command } from 'commander';
import { openGarage } from '../../db/open.ts';
import { dataFolder } from '../host/data-folder.ts';
import { LogFile } from '../log/log-file.ts';
import { RecordingsFolder } from '../recording/recordings-folder.ts';
import { supportBundle } from '../support/support-bundle.ts';
import { writeSupportBundle } from '../support/support-desk.ts';
import { print } from './print.ts';

export function registerSupport(program: Command): void {
  program
    .command('support')
    .description('show what helps to find a fault, then write it to a file; without --out it is only shown')
    .option('--out <file>', 'new file to write it to')
    .action(async ({ out }: { out?: string }) => {
      const folder = dataFolder();
      const recordings = new RecordingsFolder(folder);
      // A garage that cannot be opened is when this is needed most.
      const garage = tried(() => openGarage(join(folder, 'garage.db')));
      try {
        const text = await supportBundle({ garage, recordings, log: new LogFile(folder) });
        process.stdout.write(text);
        if (out === undefined || !(await agreed(out))) return;
        await writeSupportBundle(out, text);
        print.log(`What you see above is in ${out}.`);
      } finally {
        if (!(garage instanceof Error)) garage.close();
      }
    });
}

function tried<T>(work: () => T): T | Error {
  try {
    return work();
  } catch (error) {
    return error as Error;
  }
}

/** Asks where somebody can answer; a script has asked for the file already. */
async function agreed(out: string): Promise<boolean> {
  if (!process.stdin.isTTY) return true;
  const ask = createInterface({ input: process.stdin, output: process.stderr });
  try {
    return /^y/i.test(await ask.question(`Write this to ${out}? [y/N] `));
  } finally {
    ask.close();
  }
}
