/**
 * Writes shared/dsp/pffft-wasm-binary.ts from the installed @echogarden/pffft-wasm. Run it after that package
 * changes: `node build/embed-pffft.ts`; tests/dsp/fft-single.test.ts fails until it has been run.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const simd = import.meta.resolve('@echogarden/pffft-wasm/simd');
const binary = readFileSync(new URL('pffft.wasm', simd)).toString('base64');
const licence = readFileSync(new URL('../../COPYING', simd), 'utf8').trim().split('\n');
writeFileSync(
  fileURLToPath(new URL('../shared/dsp/pffft-wasm-binary.ts', import.meta.url)),
  `/**
 * dist/simd/pffft.wasm of @echogarden/pffft-wasm, as base64. Written by build/embed-pffft.ts; do not edit.
 *
${licence.map((line) => ` * ${line}`.trimEnd()).join('\n')}
 */
export const pffftWasmBase64 =
  '${binary}';
`,
);
