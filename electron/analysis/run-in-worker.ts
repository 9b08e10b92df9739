import { ToldError } from '../../shared/messages/told-error.ts';
import { programPath } from '../service/program-path.ts';
import { startThread } from '../service/start-thread.ts';
import type { Progress, TaskInput, TaskName, TaskOutput, WorkerMessage } from './tasks.ts';

export interface WorkerOptions {
  readonly onProgress?: Progress;
  /** Aborting ends the thread at once, wherever it is; nothing more is heard of it. */
  readonly signal?: AbortSignal;
}

/** What a task threw to be told: an error that crosses a thread loses its class. */
export class TaskError extends ToldError {
  override readonly name = 'TaskError';
}

/**
 * Runs a long computation in a worker thread of its own.
 * @throws what the task threw, or the signal's reason when it was aborted
 */
export function runInWorker<N extends TaskName>(
  name: N,
  input: TaskInput<N>,
  { onProgress, signal }: WorkerOptions = {},
): Promise<TaskOutput<N>> {
  return new Promise((resolve, reject) => {
    if (signal?.aborted) return reject(signal.reason);
    const worker = startThread(programPath('analysis-worker', import.meta.url), { name, input });
    const abort = (): void => {
      // What the thread had already said may still lie in the queue.
      worker.removeAllListeners('message');
      void worker.terminate();
      reject(signal?.reason);
    };
    signal?.addEventListener('abort', abort, { once: true });
    worker.on('message', (message: WorkerMessage) => {
      if (message.kind === 'progress') onProgress?.(message.fraction);
      else if (message.kind === 'done') resolve(message.value as TaskOutput<N>);
      else if (message.told) reject(new TaskError(message.told, { cause: message.error }));
      else reject(message.error);
    });
    worker.once('error', reject);
    worker.once('exit', (code) => {
      signal?.removeEventListener('abort', abort);
      reject(new Error(`the worker for ${name} ended with code ${code} before it was done`));
    });
  });
}
