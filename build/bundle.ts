/**
 * `npm run build`: the screens to build/out/renderer, the main side with its child programs and workers to
 * build/out/main. Does nothing when no source changed since the last build.
 */
import { createHash } from 'node:crypto';
import { existsSync, globSync, readFileSync } from 'node:fs';
import { mkdir, readFile, rm, writeFile } from 'node:fs/promises';
import { builtinModules } from 'node:module';
import { basename, dirname, join, resolve } from 'node:path';
import { build, type InlineConfig } from 'vite';

export const root = resolve(import.meta.dirname, '..');
export const out = join(root, 'build/out');

/** Loaded from node_modules at run time: native code, and Electron's own modules. */
const EXTERNAL = [
  'electron',
  /^electron\//,
  'better-sqlite3',
  'naudiodon',
  'serialport',
  /^@serialport\//,
  'segfault-handler',
  // Optional speed-ups of ws that are not installed.
  'bufferutil',
  'utf-8-validate',
  /^node:/,
  ...builtinModules,
];

/** Programs that run in a process or thread of their own; they lie beside main.js once built. */
const PROGRAMS = ['native/**/*-child.ts', 'native/**/*-worker.ts', 'electron/**/*-worker.ts'];

const quiet = { root, configFile: false, logLevel: 'warn', publicDir: false } satisfies InlineConfig;

/**
 * Bundles main-side programs as ES modules.
 * @param entries output name without extension to source file
 */
export async function bundleMain(entries: Record<string, string>, outDir: string): Promise<void> {
  await build({
    ...quiet,
    ssr: { noExternal: true, target: 'node' },
    build: {
      ssr: true,
      target: 'node20',
      outDir,
      emptyOutDir: true,
      minify: false,
      sourcemap: true,
      rolldownOptions: {
        input: entries,
        external: EXTERNAL,
        output: { format: 'es', entryFileNames: '[name].js', chunkFileNames: '[name]-[hash].js' },
      },
    },
  });
}

/** Bundles the preload script to one CommonJS file: a sandboxed preload cannot load another. */
export async function bundlePreload(outDir: string): Promise<void> {
  await build({
    ...quiet,
    ssr: { noExternal: true, target: 'node' },
    build: {
      ssr: true,
      target: 'node20',
      outDir,
      emptyOutDir: false,
      minify: false,
      rolldownOptions: {
        input: { preload: join(root, 'electron/shell/preload.ts') },
        external: EXTERNAL,
        output: { format: 'cjs', entryFileNames: '[name].cjs', codeSplitting: false },
      },
    },
  });
}

/** The child programs and workers of the sources by name; two of one name would overwrite each other. */
export function programEntries(): Record<string, string> {
  const entries: Record<string, string> = {};
  for (const file of globSync(PROGRAMS, { cwd: root })) {
    const name = basename(file, '.ts');
    if (name in entries) throw new Error(`${file}: another program is called ${name} as well.`);
    entries[name] = join(root, file);
  }
  return entries;
}

async function bundleRenderer(): Promise<void> {
  await build({
    configFile: join(root, 'build/vite.renderer.config.ts'),
    logLevel: 'warn',
    // One page that is loaded from this computer: a single large chunk is no loss.
    build: { outDir: join(out, 'renderer'), emptyOutDir: true, chunkSizeWarningLimit: 4096 },
  });
}

const SOURCES = ['electron', 'renderer', 'native', 'db', 'seeds', 'shared'].map((folder) => `${folder}/**/*`);
const SETTINGS = ['package-lock.json', 'tsconfig.json', 'build/bundle.ts', 'build/vite.renderer.config.ts'];

/** Changes when any file changes that a bundle is made of. */
function fingerprint(): string {
  const hash = createHash('sha256');
  const files = globSync([...SOURCES, ...SETTINGS], { cwd: root, withFileTypes: true });
  const paths = files.filter((file) => file.isFile()).map((file) => join(file.parentPath, file.name));
  for (const path of paths.sort()) hash.update(path).update('\0').update(readFileSync(path));
  return hash.digest('hex');
}

/** Builds what is not up to date. Resolves to whether anything had to be built. */
export async function bundle(): Promise<boolean> {
  const stamp = join(out, 'fingerprint');
  const now = fingerprint();
  const last = existsSync(stamp) ? await readFile(stamp, 'utf8') : '';
  if (last === now) return false;

  await rm(stamp, { force: true });
  await bundleRenderer();
  const main = join(out, 'main');
  await bundleMain({ main: join(root, 'electron/shell/main.ts'), ...programEntries() }, main);
  await bundlePreload(main);
  await mkdir(dirname(stamp), { recursive: true });
  await writeFile(stamp, now);
  return true;
}

if (import.meta.main) {
  const started = performance.now();
  const built = await bundle();
  console.log(built ? `Built in ${((performance.now() - started) / 1000).toFixed(1)} s.` : 'Up to date.');
}
