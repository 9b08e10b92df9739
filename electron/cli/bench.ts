import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import type { Command } from 'commander';
import { CliInputError } from './input-error.ts';
import { print } from './print.ts';

const PROGRAM = fileURLToPath(new URL('../../build/bench/main.ts', import.meta.url));

/**
 * Runs the benchmarks in a process of their own and returns their figures.
 *
 * @param parts which ones; all when left out
 * @throws CliInputError when there is no such part, or the program was installed without its benchmarks
 */
export async function bench(
  options: { quick?: boolean } = {},
  parts: readonly string[] = [],
): Promise<Record<string, unknown>> {
  if (!existsSync(PROGRAM)) {
    throw new CliInputError(
      'bench: the benchmarks are not part of an installed program; run it from the sources.',
    );
  }
  const child = spawn(process.execPath, [PROGRAM, ...(options.quick ? ['--quick'] : []), ...parts], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let output = '';
  let errors = '';
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    output += text;
  });
  createInterface({ input: child.stderr }).on('line', (line) => {
    if (line.startsWith('measuring ')) print.log(line);
    else errors += `${line}\n`;
  });
  const code = await new Promise<number | null>((resolve, reject) => {
    child.on('error', reject);
    child.on('close', resolve);
  });
  if (code === 2) throw new CliInputError(errors.trim());
  if (code !== 0) throw new Error(`the benchmarks ended with code ${code}:\n${errors}`);
  return JSON.parse(output) as Record<string, unknown>;
}

export function registerBench(program: Command): void {
  program
    .command('bench')
    .description('measure how fast this machine runs the program; takes some minutes')
    .argument('[parts...]', 'what to measure; everything when left out')
    .option('--json', 'one JSON object on standard output, as without it')
    .option('--quick', 'a short look, with a short recording and a small garage')
    .action(async (parts: string[], { quick }: { json?: true; quick?: true }) => {
      print.json(await bench(quick ? { quick } : {}, parts));
    });
}
