import { mkdir, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Command } from 'commander';
import { demoToday, shortened } from '../../seeds/scenarios/demo.ts';
import { writeScenarioBundle } from '../../seeds/scenarios/write-bundle.ts';
import { runInWorker } from '../analysis/run-in-worker.ts';
import { showFindings } from './analyse.ts';
import { CliInputError } from './input-error.ts';
import { print } from './print.ts';

export function registerDemo(program: Command): void {
  program
    .command('demo')
    .description('drive the built-in demo car with pickups on it and find what makes its noise')
    .option('--out <dir>', 'keep the visit bundle of the drive in this new folder')
    .option('--json', 'one JSON object on standard output')
    .action(async ({ out, json }: { out?: string; json?: true }) => {
      const folder = out ?? (await mkdtemp(join(tmpdir(), 'rumblepath-demo-')));
      try {
        if (out) await makeNew(out);
        print.log('Driving the demo car, eight pickups on its running gear …');
        await writeScenarioBundle(shortened(demoToday()), folder);
        print.log('Listening to what was recorded …');
        showFindings(await runInWorker('analyseBundle', { folder }), json === true);
        if (out) print.log(`The visit bundle is in ${out}.`);
      } finally {
        if (!out) await rm(folder, { recursive: true });
      }
    });
}

async function makeNew(out: string): Promise<void> {
  try {
    await mkdir(out);
  } catch (cause) {
    throw new CliInputError(`--out: ${out} cannot be made as a new folder`, { cause });
  }
}
