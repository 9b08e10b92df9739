import { homedir } from 'node:os';
import { join, resolve } from 'node:path';

/**
 * Where the garage lives: `RUMBLEPATH_DATA`, or the user's folder for application data. The same for every host,
 * so that the window and the command line see the same vehicles.
 */
export function dataFolder(env: NodeJS.ProcessEnv = process.env, platform = process.platform): string {
  if (env.RUMBLEPATH_DATA) return resolve(env.RUMBLEPATH_DATA);
  const home = homedir();
  const base = {
    win32: env.APPDATA ?? join(home, 'AppData/Roaming'),
    darwin: join(home, 'Library/Application Support'),
  }[platform as string];
  return join(base ?? env.XDG_CONFIG_HOME ?? join(home, '.config'), 'rumblepath');
}
