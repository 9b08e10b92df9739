import { Command, CommanderError } from 'commander';
import { GarageError } from '../../db/error.ts';
import { CaptureError } from '../../native/capture/capture-source.ts';
import { WavError } from '../../native/wav/wav-header.ts';
import { BundleError } from '../../shared/bundle/visit.ts';
import { TaskError } from '../analysis/run-in-worker.ts';
import { ReportError } from '../report/report-error.ts';
import { registerAnalyse } from './analyse.ts';
import { registerBackupCommands } from './backup-commands.ts';
import { registerBench } from './bench.ts';
import { registerDemo } from './demo.ts';
import { registerDevices } from './devices.ts';
import { registerEnvelope } from './envelope.ts';
import { registerGarageCommands } from './garage-commands.ts';
import { CliInputError } from './input-error.ts';
import { registerRecord } from './record.ts';
import { registerReport } from './report.ts';
import { registerSupport } from './support.ts';

const program = new Command('rumblepath')
  .description(
    'Find which rotating part of a vehicle makes the noise: the same code as the app, without a window.',
  )
  .exitOverride();

for (const register of [
  registerDemo,
  registerAnalyse,
  registerDevices,
  registerEnvelope,
  registerRecord,
  registerReport,
  registerGarageCommands,
  registerBackupCommands,
  registerSupport,
  registerBench,
])
  register(program);
for (const command of program.commands) command.exitOverride();

/** Errors whose message is meant for the user: bad arguments or bad input, exit code 2. */
const INPUT_ERRORS = [CliInputError, BundleError, WavError, CaptureError, GarageError, TaskError];

try {
  await program.parseAsync();
} catch (error) {
  if (error instanceof CommanderError) {
    // Commander has written its own line already; asking for help is not a mistake.
    process.exitCode = error.exitCode === 0 ? 0 : 2;
  } else if (INPUT_ERRORS.some((type) => error instanceof type)) {
    process.stderr.write(`${(error as Error).message.split('\n')[0]}\n`);
    process.exitCode = 2;
  } else if (error instanceof ReportError) {
    // Neither the arguments nor the input: what this computer has, one line all the same.
    process.stderr.write(`${error.message}\n`);
    process.exitCode = 1;
  } else {
    process.stderr.write(`${error instanceof Error ? (error.stack ?? error.message) : String(error)}\n`);
    process.exitCode = 1;
  }
}
