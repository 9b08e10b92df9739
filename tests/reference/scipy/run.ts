/**
 * Runs a Python snippet with SciPy on the same arrays that TypeScript computes on. One Python process per call:
 * gather all cases of a test file into one snippet.
 *
 *   const { y } = await runScipy({ x }, `y = signal.hilbert(x).imag`, ['y']);
 *
 * In the snippet each input is a NumPy array under its own name, and `np`, `scipy`, `signal`, `fft`, `special`,
 * `stats` and `ndimage` are imported. Named results come back as float64; complex ones as re, im pairs, boolean
 * and whole ones as numbers, arrays of any shape flattened row by row.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';

/** Debian's Python: the one that python3-scipy belongs to. */
export const PYTHON = '/usr/bin/python3';

const INSTALL = `SciPy is missing: install it with "apt-get install -y python3-scipy" (Debian, Ubuntu) for ${PYTHON}`;

const PRELUDE = `
import json, os, sys, warnings
import numpy as np
import scipy
from scipy import fft, integrate, interpolate, ndimage, optimize, signal, special, stats
_folder = sys.argv[1]
_manifest = json.load(open(os.path.join(_folder, 'manifest.json')))
for _name, _type in _manifest['inputs'].items():
    globals()[_name] = np.fromfile(os.path.join(_folder, 'in_' + _name), dtype=_type)
`;

const EPILOGUE = `
for _name in _manifest['outputs']:
    _value = np.asarray(globals()[_name])
    if np.iscomplexobj(_value):
        _value = np.ascontiguousarray(_value, dtype=np.complex128).view(np.float64)
    np.ascontiguousarray(_value, dtype=np.float64).tofile(os.path.join(_folder, 'out_' + _name))
`;

/**
 * @param inputs arrays by the names that the snippet uses (a Float32Array arrives as float32)
 * @param snippet Python source
 * @param outputs names of the variables to bring back
 * @throws Error that says how to install SciPy when it is missing, or with Python's own message
 */
export function runScipy<Name extends string>(
  inputs: Record<string, Float64Array | Float32Array>,
  snippet: string,
  outputs: readonly Name[],
): Record<Name, Float64Array<ArrayBuffer>> {
  if (!existsSync(PYTHON)) throw new Error(INSTALL);
  const folder = mkdtempSync(path.join(tmpdir(), 'rumblepath-scipy-'));
  try {
    const types: Record<string, string> = {};
    for (const [name, values] of Object.entries(inputs)) {
      types[name] = values instanceof Float32Array ? '<f4' : '<f8';
      writeFileSync(path.join(folder, `in_${name}`), values);
    }
    writeFileSync(path.join(folder, 'manifest.json'), JSON.stringify({ inputs: types, outputs }));
    writeFileSync(path.join(folder, 'snippet.py'), `${PRELUDE}\n${snippet}\n${EPILOGUE}`);
    const run = spawnSync(PYTHON, [path.join(folder, 'snippet.py'), folder], {
      encoding: 'utf8',
      maxBuffer: 2 ** 26,
      env: { ...process.env, OMP_NUM_THREADS: '1', OPENBLAS_NUM_THREADS: '1' },
    });
    if (run.error) throw run.error;
    if (run.status !== 0) {
      const missing = /No module named '(numpy|scipy)/.test(run.stderr);
      throw new Error(missing ? `${INSTALL}\n${run.stderr}` : `Python failed:\n${run.stderr}`);
    }
    const results = {} as Record<Name, Float64Array<ArrayBuffer>>;
    for (const name of outputs) {
      const bytes = readFileSync(path.join(folder, `out_${name}`));
      results[name] = new Float64Array(new Uint8Array(bytes).buffer);
    }
    return results;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/**
 * Largest difference, relative to the largest magnitude of the expected array: the figure that "relative error"
 * means in these tests.
 */
export function relativeError(actual: ArrayLike<number>, expected: ArrayLike<number>): number {
  if (actual.length !== expected.length) {
    throw new Error(`lengths differ: ${actual.length} here, ${expected.length} expected`);
  }
  let scale = 0;
  let worst = 0;
  for (let i = 0; i < expected.length; i++) {
    scale = Math.max(scale, Math.abs(expected[i]!));
    const difference = Math.abs(actual[i]! - expected[i]!);
    if (!(difference <= worst)) worst = difference;
  }
  return scale === 0 ? worst : worst / scale;
}
