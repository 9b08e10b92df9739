import { fileURLToPath } from 'node:url';

/**
 * The file of a child program or worker that lies beside the module that starts it: its TypeScript source when
 * Node runs the sources, its bundle beside `main.js` otherwise.
 * @param name file name without extension, e.g. `analysis-worker`
 * @param besideUrl the starting module's `import.meta.url`
 */
export const programPath = (name: string, besideUrl: string): string =>
  fileURLToPath(new URL(`./${name}.${besideUrl.endsWith('.ts') ? 'ts' : 'js'}`, besideUrl));
