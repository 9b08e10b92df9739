import { execFile } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { demoScenario } from '../../seeds/scenarios/demo.ts';
import { writeScenarioBundle } from '../../seeds/scenarios/write-bundle.ts';

const folder = mkdtempSync(join(tmpdir(), 'rumblepath-cli-'));
const bundle = join(folder, 'bundle');
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const program = join(import.meta.dirname, '../../electron/cli/main.ts');

/** Runs the command line as a user would; standard output must be the answer and nothing else. */
function cli(...args: string[]): Promise<{ code: number; out: string; err: string }> {
  const env = { ...process.env, RUMBLEPATH_DATA: join(folder, 'data') };
  return new Promise((resolve) => {
    execFile(process.execPath, [program, ...args], { env, maxBuffer: 1e8 }, (error, out, err) =>
      resolve({ code: error ? Number(error.code) : 0, out, err }),
    );
  });
}

const onlyLine = (text: string): string => {
  expect(text.trimEnd().split('\n')).toHaveLength(1);
  return text;
};

beforeAll(async () => {
  const scenario = demoScenario();
  const [run] = scenario.runs;
  await writeScenarioBundle({ ...scenario, runs: [{ ...run!, drive: run!.drive.slice(1, 4) }] }, bundle);
  const path = join(bundle, 'visit.json');
  const visit = JSON.parse(readFileSync(path, 'utf8'));
  visit.notOurs = { kept: true };
  visit.runs[0].alsoNotOurs = 'kept';
  writeFileSync(path, JSON.stringify(visit));
}, 60_000);

describe('import and export', () => {
  it('bring a bundle through the garage with samples and unknown keys as they were', async () => {
    const imported = await cli('import', bundle, '--json');
    expect(imported.code).toBe(0);
    const { visitId } = JSON.parse(imported.out);
    const out = join(folder, 'exported');
    expect((await cli('export', String(visitId), '--out', out)).code).toBe(0);
    const before = JSON.parse(readFileSync(join(bundle, 'visit.json'), 'utf8'));
    const after = JSON.parse(readFileSync(join(out, 'visit.json'), 'utf8'));
    expect(after).toEqual(before);
    expect(readFileSync(join(out, 'run-1.wav')).equals(readFileSync(join(bundle, 'run-1.wav')))).toBe(true);
    // An export never overwrites.
    expect((await cli('export', String(visitId), '--out', out)).code).toBe(2);
  }, 60_000);

  it('refuse a malformed bundle with one line that names file and field, and import nothing of it', async () => {
    const broken = mkdtempSync(join(folder, 'broken-'));
    const visit = JSON.parse(readFileSync(join(bundle, 'visit.json'), 'utf8'));
    visit.runs[0].channels[2].position = 7;
    writeFileSync(join(broken, 'visit.json'), JSON.stringify(visit));
    const { code, err } = await cli('import', broken);
    expect(code).toBe(2);
    expect(onlyLine(err)).toMatch(/visit\.json: runs\[0\]\.channels\[2\]\.position/);

    visit.runs[0].channels[2].position = 'hub-rear-left';
    visit.runs[0].file = '../outside.wav';
    writeFileSync(join(broken, 'visit.json'), JSON.stringify(visit));
    expect(onlyLine((await cli('import', broken)).err)).toMatch(/runs\[0\]\.file/);
  });
});

describe('arguments', () => {
  it('that are wrong exit with 2 and one line that says what and where', async () => {
    for (const args of [
      ['record', '--device', 'x', '--channels', '40', '--seconds', '1', '--out', join(folder, 'r')],
      // Node's own recursive mkdir never comes back from there.
      ['record', '--device', 'x', '--channels', '2', '--seconds', '1', '--out', '/proc/nowhere/r'],
      ['export', 'seven', '--out', join(folder, 'x')],
      ['import', join(folder, 'nowhere')],
      ['analyse', join(folder, 'nowhere')],
    ]) {
      const { code, out, err } = await cli(...args);
      expect([args[0], code]).toEqual([args[0], 2]);
      expect(out).toBe('');
      onlyLine(err);
    }
  }, 60_000);
});
