/** `npm start`: builds what changed and opens the program, in Electron or else in an installed browser. */
import { join } from 'node:path';
import { findBrowser } from '../electron/host/browser.ts';
import { runInBrowser } from '../electron/host/run-in-browser.ts';
import { bundle, out } from './bundle.ts';
import { downloadElectron, installedElectron, runElectron } from './electron.ts';

const hasDisplay = (): boolean =>
  process.platform !== 'linux' || Boolean(process.env.DISPLAY || process.env.WAYLAND_DISPLAY);

async function start(): Promise<number> {
  if (!hasDisplay()) {
    console.error(
      'There is no display here, so no window can be opened.\n' +
        'The program also runs without one: npm run -s cli -- demo',
    );
    return 1;
  }
  await bundle();
  const electron = installedElectron() ?? (await downloadElectron());
  if (electron !== undefined && (await runElectron(electron))) return 0;
  const problem = `The Electron runtime could not be ${electron === undefined ? 'downloaded' : 'started'}`;

  const browser = findBrowser();
  if (browser === undefined) {
    console.error(
      `${problem}, and neither Chromium nor Chrome is installed: ` +
        'install one of them, or set RUMBLEPATH_ELECTRON to an Electron executable.',
    );
    return 1;
  }
  console.log(`${problem}, so the window opens in ${browser}.`);
  await runInBrowser(join(out, 'renderer'), browser);
  return 0;
}

try {
  process.exit(await start());
} catch (error) {
  console.error(error instanceof Error ? error.message : error);
  process.exit(1);
}
