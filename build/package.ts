/**
 * `npm run package`: builds, writes the bill of materials, and packs the program for this system. Arguments go on
 * to electron-builder, e.g. `npm run package -- --linux deb`.
 */
import { execFile, spawn } from 'node:child_process';
import { once } from 'node:events';
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { bundle, out, root } from './bundle.ts';

/** What the package is made of, with every part's licence, in CycloneDX (ECMA-424). */
async function writeBillOfMaterials(): Promise<void> {
  const wish = ['sbom', '--omit', 'dev', '--sbom-format', 'cyclonedx'];
  const { stdout } = await promisify(execFile)('npm', wish, { cwd: root, maxBuffer: 1 << 26 });
  await writeFile(join(out, 'sbom.cdx.json'), stdout);
}

/** @param args for electron-builder's command line */
export async function packageProgram(args: readonly string[]): Promise<void> {
  await bundle();
  await writeBillOfMaterials();
  const settings = ['--config', join(root, 'build/electron-builder.yml'), '--publish', 'never'];
  const builder = spawn(join(root, 'node_modules/.bin/electron-builder'), [...settings, ...args], {
    cwd: root,
    stdio: 'inherit',
  });
  const [code] = await once(builder, 'exit');
  if (code !== 0) throw new Error(`electron-builder ended with ${code}.`);
}

if (import.meta.main) await packageProgram(process.argv.slice(2));
