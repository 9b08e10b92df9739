import { existsSync } from 'node:fs';
import { join } from 'node:path';
import type { Command } from 'commander';
import { makeBackup } from '../backup/make-backup.ts';
import { stageRestore, takeRestored } from '../backup/restore.ts';
import { dataFolder } from '../host/data-folder.ts';
import { makeFolder } from '../service/make-folder.ts';
import { withGarage } from './garage-commands.ts';
import { print } from './print.ts';

export function registerBackupCommands(program: Command): void {
  program
    .command('backup')
    .description('copy the whole garage with its recordings into a folder, also while the app is running')
    .requiredOption('--out <dir>', 'folder to make, or one with an earlier backup to bring up to date')
    .option('--json', 'one JSON object on standard output')
    .action(({ out, json }: { out: string; json?: true }) =>
      withGarage(async (garage) => {
        const made = await makeBackup(garage, dataFolder(), out);
        for (const file of made.missing) print.log(`${file} is not there any more and not in the backup.`);
        if (json) print.json(made);
        else print.line(`${made.files} files, ${(made.bytes / 1e6).toFixed(1)} MB in ${made.folder}.`);
      }),
    );

  program
    .command('restore')
    .description('check a backup and give it the place of the garage')
    .argument('<dir>', 'folder of the backup')
    .option('--json', 'one JSON object on standard output')
    .action(async (dir: string, { json }: { json?: true }) => {
      const folder = dataFolder();
      await makeFolder(folder);
      // A garage that is there may be open in the app: it is replaced at the app's next start.
      const waits = existsSync(join(folder, 'garage.db'));
      const { files } = await stageRestore(dir, folder);
      if (!waits) takeRestored(folder);
      if (json) print.json({ files, folder, waitsForNextStart: waits });
      else if (waits)
        print.line(
          `${files} files are checked and take the place of the garage in ${folder} when the app is started next.`,
        );
      else print.line(`${files} files are checked and restored to ${folder}.`);
    });
}
