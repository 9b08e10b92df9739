import { spawnSync } from 'node:child_process';

/** Runs a program in a process of its own, one thread, and reads the JSON object that it prints. */
export function runJson(command: string, args: string[]): Record<string, unknown> {
  const run = spawnSync(command, args, {
    encoding: 'utf8',
    maxBuffer: 2 ** 26,
    env: { ...process.env, OMP_NUM_THREADS: '1', OPENBLAS_NUM_THREADS: '1', MKL_NUM_THREADS: '1' },
  });
  if (run.error) throw run.error;
  if (run.status !== 0) throw new Error(`${command} ${args.join(' ')} failed:\n${run.stderr}`);
  return JSON.parse(run.stdout) as Record<string, unknown>;
}

/** The Python that Debian's python3-scipy belongs to. */
export const PYTHON = '/usr/bin/python3';
