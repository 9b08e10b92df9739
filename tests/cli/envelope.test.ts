import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { gaussianNoise } from '../reference/scipy/noise.ts';

const ROOT = path.resolve(import.meta.dirname, '../..');
const folder = mkdtempSync(path.join(tmpdir(), 'rumblepath-envelope-'));
const RATE = 12_000;
const RPM = 1500;

function cli(...args: string[]) {
  const run = spawnSync(process.execPath, ['electron/cli/main.ts', 'envelope', ...args], {
    cwd: ROOT,
    encoding: 'utf8',
  });
  return { code: run.status, out: run.stdout, error: run.stderr.trim() };
}

/** A float 32 WAV file as the format is defined: RIFF, fmt and data. */
function wav(name: string, channels: readonly Float64Array[]): string {
  const frames = channels[0]!.length;
  const bytes = Buffer.alloc(44 + frames * channels.length * 4);
  bytes.write('RIFF', 0);
  bytes.writeUInt32LE(bytes.length - 8, 4);
  bytes.write('WAVEfmt ', 8);
  bytes.writeUInt32LE(16, 16);
  bytes.writeUInt16LE(3, 20);
  bytes.writeUInt16LE(channels.length, 22);
  bytes.writeUInt32LE(RATE, 24);
  bytes.writeUInt32LE(RATE * channels.length * 4, 28);
  bytes.writeUInt16LE(channels.length * 4, 32);
  bytes.writeUInt16LE(32, 34);
  bytes.write('data', 36);
  bytes.writeUInt32LE(bytes.length - 44, 40);
  for (let n = 0; n < frames; n++) {
    channels.forEach((x, c) => {
      bytes.writeFloatLE(x[n]!, 44 + (n * channels.length + c) * 4);
    });
  }
  const file = path.join(folder, name);
  writeFileSync(file, bytes);
  return file;
}

let file: string;
// The drive-end bearing of the Case Western Reserve rig in mm: its outer ring's rate is 3.585 per turn.
const BEARING = '9,7.94,39.04,0';
const OUTER_HZ = 3.585 * (RPM / 60);

beforeAll(() => {
  const noise = gaussianNoise(6 * RATE, 4).map((v) => 0.05 * v);
  const struck = noise.map(
    (v, n) => v * (1 + 3 * Math.exp(-(((((OUTER_HZ * 1.003 * n) / RATE) % 1) / 0.12) ** 2))),
  );
  file = wav('two.wav', [noise, struck]);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('envelope command', () => {
  it('prints one object with the band and the four defects', () => {
    const { code, out } = cli(file, '--rpm', String(RPM), '--bearing', BEARING, '--channel', '2', '--json');
    expect(code).toBe(0);
    const result = JSON.parse(out);
    expect(Object.keys(result)).toEqual(['band_Hz', 'defects']);
    expect(Object.keys(result.defects)).toEqual(['outer', 'inner', 'element', 'cage']);
    expect(result.band_Hz[1]).toBeGreaterThan(result.band_Hz[0]);
    const { outer, inner, element, cage } = result.defects;
    expect(Object.keys(outer)).toEqual([
      'frequency_Hz',
      'measured_Hz',
      'prominence_db',
      'harmonics',
      'detected',
    ]);
    expect(outer.frequency_Hz).toBeCloseTo(OUTER_HZ, 1);
    expect(outer.measured_Hz).toBeCloseTo(OUTER_HZ * 1.003, 1);
    expect(outer).toMatchObject({ detected: true });
    expect(outer.prominence_db).toBeGreaterThan(12);
    expect(outer.harmonics).toBeGreaterThanOrEqual(2);
    expect([inner.detected, element.detected, cage.detected]).toEqual([false, false, false]);
    // A defect on an element strikes at twice its spin, 2.357 per turn.
    expect(element.frequency_Hz).toBeCloseTo(2 * 2.357 * (RPM / 60), 0);
  });

  it('takes the rates as orders, and finds nothing in the noise of the first channel', () => {
    const { code, out } = cli(file, '--rpm', String(RPM), '--orders', '3.585,5.415,2.357,0.398', '--json');
    expect(code).toBe(0);
    const { defects } = JSON.parse(out);
    expect(defects.element.frequency_Hz).toBeCloseTo(2 * 2.357 * 25, 9);
    for (const defect of Object.values(defects)) expect(defect).toMatchObject({ detected: false });
  });

  it('without --json says the same in words', () => {
    const { out } = cli(file, '--rpm', String(RPM), '--bearing', BEARING, '--channel', '2');
    expect(out).toMatch(/^Band \d+ to \d+ Hz\nouter: defect at 89\.6\d Hz/);
  });

  it.each([
    [['--rpm', '1500'], /--bearing or --orders/],
    [['--rpm', '1500', '--bearing', BEARING, '--orders', '1,2,3,4'], /--bearing or --orders/],
    [['--rpm', 'fast', '--bearing', BEARING], /--rpm: fast is not a number/],
    [['--rpm', 'NaN', '--bearing', BEARING], /--rpm/],
    [['--bearing', BEARING], /--rpm/],
    [['--rpm', '1500', '--bearing', '9,7.94,39.04'], /--bearing: 9,7\.94,39\.04 is not ELEMENTS/],
    [['--rpm', '1500', '--bearing', '9,,39.04,0'], /--bearing/],
    [['--rpm', '1500', '--bearing', '9,30,39.04,0'], /--bearing: 9 elements of 30 mm do not fit/],
    [['--rpm', '1500', '--orders', '3.5,5.4,-2,0.4'], /--orders/],
    [['--rpm', '1500', '--bearing', BEARING, '--channel', '3'], /--channel: .*two\.wav has 2 channel/],
    [['--rpm', '1500', '--bearing', BEARING, '--channel', '0'], /--channel/],
    [['--rpm', '60', '--bearing', BEARING], /two\.wav: 6\.0 turns/],
    [['--rpm', '200000', '--bearing', BEARING], /two\.wav: a rate of \d+ Hz is too high/],
  ])('%j: exit 2 and one line', (args, message) => {
    const { code, out, error } = cli(file, ...args);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(error).toMatch(message);
    expect(error.split('\n')).toHaveLength(1);
  });

  it('a file that is missing, no recording, or holds NaN: exit 2 and one line that names it', () => {
    const text = path.join(folder, 'notes.wav');
    writeFileSync(text, 'not a recording');
    const spoiled = wav('spoiled.wav', [new Float64Array(RATE * 2).fill(Number.NaN)]);
    for (const bad of [path.join(folder, 'gone.wav'), text, spoiled]) {
      const { code, error } = cli(bad, '--rpm', '1500', '--bearing', BEARING);
      expect(code).toBe(2);
      expect(error).toContain(path.basename(bad));
      expect(error.split('\n')).toHaveLength(1);
    }
  });
});
