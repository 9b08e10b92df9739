import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, expect, it } from 'vitest';
import {
  randomScenario,
  simulateVisit,
  writeScenarioBundle,
  writeVisitBundle,
} from '../../seeds/scenarios/index.ts';
import { parseVisitBundle } from '../../shared/bundle/visit.ts';

const dirs: string[] = [];
const scratch = () => {
  const dir = mkdtempSync(join(tmpdir(), 'road-drive-'));
  dirs.push(dir);
  return dir;
};
afterEach(() => {
  for (const dir of dirs.splice(0)) rmSync(dir, { recursive: true });
});

const scenario = randomScenario(21, {
  sampleRate_Hz: 16_000,
  durationS: 5,
  pickups: 3,
  runs: 2,
  tacho: true,
});

it('writes visit.json and float WAVs that SciPy reads back sample for sample', () => {
  const dir = scratch();
  const visit = simulateVisit(scenario);
  writeVisitBundle(visit, dir);
  expect(parseVisitBundle(readFileSync(join(dir, 'visit.json'), 'utf8'))).toEqual(visit.bundle);
  // Outside check: scipy.io.wavfile (Debian's python3-scipy).
  const program = `
import json, sys
from scipy.io import wavfile
rate, x = wavfile.read(sys.argv[1])
print(json.dumps({'rate': rate, 'kind': str(x.dtype), 'shape': x.shape, 'picked': [float(x[i, c]) for i in (0, 12345, -1) for c in range(x.shape[1])]}))`;
  visit.runs.forEach(({ channels, sampleRate_Hz }, run) => {
    const read = JSON.parse(
      execFileSync('/usr/bin/python3', ['-c', program, join(dir, visit.bundle.runs[run]!.file)], {
        encoding: 'utf8',
      }),
    );
    expect(read).toEqual({
      rate: sampleRate_Hz,
      kind: 'float32',
      shape: [channels[0]!.length, channels.length],
      picked: [0, 12345, channels[0]!.length - 1].flatMap((i) => channels.map((samples) => samples[i]!)),
    });
  });
});

it('writes the same bundle run by run without holding it', () => {
  const [whole, streamed] = [scratch(), scratch()];
  writeVisitBundle(simulateVisit(scenario), whole);
  writeScenarioBundle(scenario, streamed);
  for (const file of ['visit.json', 'run-1.wav', 'run-2.wav']) {
    expect(readFileSync(join(streamed, file)).equals(readFileSync(join(whole, file))), file).toBe(true);
  }
});
