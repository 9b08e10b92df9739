import { join } from 'node:path';
import type { Command } from 'commander';
import { type Garage, openGarage } from '../../db/open.ts';
import { exportBundle } from '../bundles/export-bundle.ts';
import { importBundle } from '../bundles/import-bundle.ts';
import { dataFolder } from '../host/data-folder.ts';
import { measureRunOf } from '../measures/measure-run.ts';
import { RecordingsFolder } from '../recording/recordings-folder.ts';
import { wholeNumberOption } from './arguments.ts';
import { CliInputError } from './input-error.ts';
import { print } from './print.ts';

/** Opens the garage of the app for one command. */
export async function withGarage<T>(
  work: (garage: Garage, recordings: RecordingsFolder) => Promise<T>,
): Promise<T> {
  const folder = dataFolder();
  const recordings = new RecordingsFolder(folder);
  const garage = openGarage(join(folder, 'garage.db'));
  try {
    return await work(garage, recordings);
  } finally {
    garage.close();
  }
}

export function registerGarageCommands(program: Command): void {
  program
    .command('import')
    .description('take a visit bundle into the garage')
    .argument('<bundle>', 'folder with visit.json')
    .option(
      '--vehicle <id>',
      'of this vehicle instead of a new one',
      wholeNumberOption('vehicle', 1, Number.MAX_SAFE_INTEGER),
    )
    .option('--json', 'one JSON object on standard output')
    .action((bundle: string, options: { vehicle?: number; json?: true }) =>
      withGarage(async (garage, recordings) => {
        const made = await importBundle(garage, recordings, bundle, options.vehicle ?? null);
        for (const run of garage.visits.get(made.visitId).runs)
          await measureRunOf(garage, recordings, run.id);
        if (options.json) print.json(made);
        else print.line(`Visit ${made.visitId} of vehicle ${made.vehicleId}.`);
      }),
    );

  program
    .command('export')
    .description('write a visit as a bundle')
    .argument('<visit>', 'its number')
    .requiredOption('--out <dir>', 'folder to make')
    .action((text: string, { out }: { out: string }) =>
      withGarage(async (garage, recordings) => {
        const visitId = Number(text);
        if (!Number.isSafeInteger(visitId))
          throw new CliInputError(`<visit>: ${text} is not the number of a visit`);
        await exportBundle(garage, recordings, visitId, out);
        print.log(`Visit ${visitId} is in ${out}.`);
      }),
    );
}
