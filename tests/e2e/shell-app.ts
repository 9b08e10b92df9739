import { type ChildProcess, execFile } from 'node:child_process';
import { cp, mkdir, mkdtemp, rm, symlink, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { _electron, type ElectronApplication } from 'playwright-core';
import { bundleMain, bundlePreload, root } from '../../build/bundle.ts';
import { type ElectronRuntime, electronRuntime } from './electron-runtime.ts';

/** The program as a folder that an Electron can run, made for one test. */
export interface ShellApp {
  readonly folder: string;
  readonly dataFolder: string;
  /** Starts it with the test driver attached. */
  launch(env: Record<string, string>): Promise<ElectronApplication>;
  /** Starts it without: the driver keeps a crashed page from coming back. Resolves to what it prints. */
  run(env: Record<string, string>): Promise<string>;
  /**
   * Ends what was started, and removes the folder. A frozen Electron does not hear a polite signal, and one that ended
   * by itself is no longer known to the driver: the process is killed with all that it started, whatever their state.
   */
  remove(): Promise<void>;
}

const NATIVE_MODULES = ['better-sqlite3', 'naudiodon', 'serialport', 'segfault-handler'];

/**
 * The stand-in runtime cannot load better-sqlite3 13; there libsql takes its place behind the same code
 * (tests/db/libsql.test.ts holds that it can).
 */
async function layModules(folder: string, runtime: ElectronRuntime): Promise<void> {
  const modules = join(folder, 'node_modules');
  await mkdir(modules, { recursive: true });
  for (const name of NATIVE_MODULES) {
    const takenBy = name === 'better-sqlite3' && !runtime.loadsNativeModules ? 'libsql' : name;
    await symlink(join(root, 'node_modules', takenBy), join(modules, name));
  }
}

/** The driver makes each Electron the head of a process group, where the processes that it starts are too. */
function killGroup(head: number): void {
  try {
    process.kill(-head, 'SIGKILL');
  } catch (cause) {
    if ((cause as NodeJS.ErrnoException).code !== 'ESRCH') throw cause;
  }
}

/**
 * @param entry source file of the main side
 * @param screens folder of the built screens
 * @param programs the child programs and workers that the main side starts
 */
export async function shellApp(
  entry: string,
  screens: string,
  programs: Record<string, string> = {},
): Promise<ShellApp> {
  const runtime = await electronRuntime();
  const folder = await mkdtemp(join(tmpdir(), 'rumblepath-shell-'));
  const dataFolder = join(folder, 'data');
  const main = join(folder, 'main');
  await bundleMain({ main: entry, ...programs }, main);
  await bundlePreload(main);
  await cp(screens, join(folder, 'renderer'), { recursive: true });
  await layModules(folder, runtime);
  await writeFile(
    join(folder, 'package.json'),
    JSON.stringify({ name: 'rumblepath', type: 'module', main: 'main/main.js' }),
  );
  // Chromium's own sandbox wants a user that is not root; the renderer's isolation from Node stays.
  const args = [folder, ...(process.getuid?.() === 0 ? ['--no-sandbox'] : [])];
  const environment = { ...(process.env as Record<string, string>), RUMBLEPATH_DATA: dataFolder };
  const launched: ChildProcess[] = [];
  return {
    folder,
    dataFolder,
    launch: async (env) => {
      const app = await _electron.launch({
        executablePath: runtime.executable,
        args,
        env: { ...environment, ...env },
      });
      launched.push(app.process());
      return app;
    },
    run: async (env) => {
      const options = { env: { ...environment, ...env }, timeout: 60_000, killSignal: 'SIGKILL' } as const;
      return (await promisify(execFile)(runtime.executable, args, options)).stdout;
    },
    remove: async () => {
      for (const { pid } of launched) killGroup(pid!);
      // The kernel ends a group's processes one after the other, and until then the last of them may write.
      await rm(folder, { recursive: true, force: true, maxRetries: 10 });
    },
  };
}
