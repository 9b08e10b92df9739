import { mkdir, stat } from 'node:fs/promises';
import { dirname } from 'node:path';

/**
 * Makes a folder that somebody has named, with those above it; one that is there is left as it is. Node's own recursive
 * mkdir never comes back where the system answers ENOENT to making a folder in one that exists, as /proc does (seen
 * with Node 20 and 24) and as places that are mounted when they are asked for may.
 * @returns the outermost folder that had to be made; undefined where all were there
 * @throws the system's error
 */
export async function makeFolder(path: string): Promise<string | undefined> {
  const info = await stat(path).catch(() => null);
  if (info?.isDirectory()) return undefined;
  const above = dirname(path);
  const outermost = above === path ? undefined : await makeFolder(above);
  try {
    await mkdir(path);
    return outermost ?? path;
  } catch (cause) {
    // Made by another program in the meantime.
    if (!(await stat(path).catch(() => null))?.isDirectory()) throw cause;
    return outermost;
  }
}
