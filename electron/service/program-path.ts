import { fileURLToPath } from 'node:url';

const fromSource = import.meta.url.endsWith('.ts');
const root = new URL(fromSource ? '../../' : './', import.meta.url);

/**
 * The file of a child program or worker: its TypeScript source when Node runs the sources, its bundle beside
 * `main.js` otherwise (build/bundle.ts keeps the folders).
 * @param name path from the top of the project without extension, e.g. `native/capture/portaudio-child`
 */
export const programPath = (name: string): string =>
  fileURLToPath(new URL(`${name}.${fromSource ? 'ts' : 'js'}`, root));
