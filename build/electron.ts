import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { sandboxSwitches } from '../electron/host/browser.ts';
import { root } from './bundle.ts';

/** The Electron runtime of a checkout: where it is, how it is fetched, how the built program runs in it. */

const PACKAGE = join(root, 'node_modules/electron');
/** A good 100 MB once; a firewall that swallows the request must not hold up the start for longer. */
const DOWNLOAD_WITHIN_MS = 120_000;
/** A frozen Electron survives a polite signal. */
const END_WITHIN_MS = 5000;

/** `RUMBLEPATH_ELECTRON`, or what the electron package has downloaded before. */
export function installedElectron(): string | undefined {
  if (process.env.RUMBLEPATH_ELECTRON) return process.env.RUMBLEPATH_ELECTRON;
  const note = join(PACKAGE, 'path.txt');
  const executable = existsSync(note) && join(PACKAGE, 'dist', readFileSync(note, 'utf8'));
  return executable && existsSync(executable) ? executable : undefined;
}

/** Lets the electron package download its runtime; resolves to nothing when that is out of reach. */
export async function downloadElectron(): Promise<string | undefined> {
  const install = spawn(process.execPath, [join(PACKAGE, 'install.js')], {
    stdio: 'ignore',
    timeout: DOWNLOAD_WITHIN_MS,
    killSignal: 'SIGKILL',
  });
  await once(install, 'exit');
  return installedElectron();
}

/** An Electron that ends this soon with an error never had a window, e.g. for want of a library or a sandbox. */
const STARTED_AFTER_MS = 5000;

/**
 * Runs the built program until its window is closed or it is told to end.
 * @returns whether it ever ran
 */
export async function runElectron(executable: string): Promise<boolean> {
  const startedAt = performance.now();
  const electron = spawn(executable, [root, ...sandboxSwitches()], { stdio: 'inherit' });
  let told = false;
  for (const signal of ['SIGINT', 'SIGTERM'] as const) {
    process.on(signal, () => {
      told = true;
      electron.kill(signal);
      setTimeout(() => electron.kill('SIGKILL'), END_WITHIN_MS).unref();
    });
  }
  const code = await once(electron, 'exit').then(
    ([code]) => code as number | null,
    () => null,
  );
  return code === 0 || told || performance.now() - startedAt > STARTED_AFTER_MS;
}
