import { type ChildProcess, spawn } from 'node:child_process';
import { accessSync, constants } from 'node:fs';
import { delimiter, join } from 'node:path';

/** The browsers that can show the screens as a window of their own. */

const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'chrome.exe'];

const USUAL_PLACES = [
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
  'C:\\Program Files (x86)\\Google\\Chrome\\Application\\chrome.exe',
];

const isExecutable = (path: string): boolean => {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
};

/** `RUMBLEPATH_BROWSER`, or an installed Chromium or Chrome. */
export function findBrowser(env: NodeJS.ProcessEnv = process.env): string | undefined {
  if (env.RUMBLEPATH_BROWSER) return env.RUMBLEPATH_BROWSER;
  const onPath = (env.PATH ?? '')
    .split(delimiter)
    .flatMap((folder) => NAMES.map((name) => join(folder, name)));
  return [...onPath, ...USUAL_PLACES].find(isExecutable);
}

/** Root can only run Chromium and Electron without their sandbox. */
export const sandboxSwitches = (): string[] => (process.getuid?.() === 0 ? ['--no-sandbox'] : []);

/**
 * Opens the page in a window without tabs or address line, with a profile of its own: no extension of the
 * user's sees the garage, and the process lasts as long as the window.
 */
export function openBrowser(browser: string, url: string, profileDir: string): ChildProcess {
  const switches = [
    `--app=${url}`,
    `--user-data-dir=${profileDir}`,
    '--no-first-run',
    '--no-default-browser-check',
    '--disable-background-networking',
    '--disable-sync',
    '--password-store=basic',
    '--window-size=1280,800',
    ...sandboxSwitches(),
  ];
  // Its own chatter would bury the few lines that the user is meant to read.
  return spawn(browser, switches, { stdio: 'ignore' });
}
