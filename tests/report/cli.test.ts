import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { randomScenario } from '../../seeds/scenarios/random-scenario.ts';
import { writeScenarioBundle } from '../../seeds/scenarios/write-bundle.ts';

const root = resolve(import.meta.dirname, '../..');
let folder: string;
let bundle: string;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'rumblepath-report-cli-'));
  bundle = join(folder, 'bundle');
  writeScenarioBundle(randomScenario(3, { durationS: 12, runs: 1, badChannelChance: 0 }), bundle);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function report(args: readonly string[], env: Record<string, string> = {}) {
  return new Promise<{ code: number | null; lines: string[] }>((done) => {
    const child = spawn(process.execPath, [join(root, 'electron/cli/main.ts'), 'report', ...args], {
      env: { ...process.env, RUMBLEPATH_DATA: join(folder, 'data'), ...env },
      stdio: ['ignore', 'ignore', 'pipe'],
    });
    let text = '';
    child.stderr.setEncoding('utf8').on('data', (piece: string) => {
      text += piece;
    });
    child.once('exit', (code) => done({ code, lines: text.trim().split('\n') }));
  });
}

describe('report on the command line', () => {
  it('analyses a bundle and writes its report', async () => {
    const out = join(folder, 'report.html');
    const { code } = await report([bundle, '--out', out]);
    expect(code).toBe(0);
    const html = readFileSync(out, 'utf8');
    expect(html).toContain('</html>');
    expect(html).toContain('Run 1, ');
    expect(readdirSync(folder)).not.toContain('data');
  }, 60_000);

  it('tells bad arguments and bad input with one line and exit code 2', async () => {
    const out = join(folder, 'x.html');
    for (const [args, says] of [
      [[bundle, '--out', join(folder, 'x.doc')], /--out: .*must end in \.html or \.pdf/],
      [[bundle, '--out', join(folder, 'nowhere/x.html')], /--out: there is no folder/],
      [[join(folder, 'no-bundle'), '--out', out], /visit\.json/],
      [['4711', '--out', out], /not in the garage/],
      [[bundle], /--out/],
    ] as const) {
      const { code, lines } = await report(args);
      expect([code, lines.at(-1)]).toEqual([2, expect.stringMatching(says)]);
    }
    expect(existsSync(out)).toBe(false);
  }, 60_000);

  it('says with exit code 1 when this computer has nothing that makes a PDF, before it has worked long', async () => {
    const { code, lines } = await report([bundle, '--out', join(folder, 'x.pdf')], { PATH: folder });
    expect(code).toBe(1);
    expect(lines).toEqual([expect.stringContaining('A PDF needs Chromium or Chrome')]);
  }, 60_000);
});
