import { parentPort, workerData } from 'node:worker_threads';
import { ToldError } from '../../shared/messages/told-error.ts';
import { type Progress, TASKS, type TaskName, type WorkerMessage } from './tasks.ts';

/** Runs one task and ends. */
const { name, input } = workerData as { name: TaskName; input: unknown };
const say = (message: WorkerMessage): void => parentPort!.postMessage(message);

try {
  const task = TASKS[name] as (input: unknown, progress: Progress) => Promise<unknown>;
  say({ kind: 'done', value: await task(input, (fraction) => say({ kind: 'progress', fraction })) });
} catch (error) {
  say({ kind: 'failed', error, told: error instanceof ToldError ? error.told : null });
}
