import { existsSync, readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { openWav } from '../../native/wav/wav-reader.ts';
import { DEFECTS, type Defect } from '../../shared/dsp/defect-evidence.ts';
import { findBearingDefects } from '../../shared/dsp/envelope-analysis.ts';

/**
 * Recordings by others: the MFPT Society's bearing fault data and the Case Western Reserve University Bearing Data
 * Center's. Their published condition is the truth; the defect multiples are those published beside the data.
 */
const FOLDER = resolve(import.meta.dirname, '../../../shared/data/rig-recordings');

type RigRecord = {
  file: string;
  shaft_rpm: number;
  condition: string;
  defect_multiples: Record<Defect, number>;
  plainly_detectable: boolean;
};

const DEFECT_OF_CONDITION: Record<string, Defect> = {
  'inner race': 'inner',
  'outer race': 'outer',
  ball: 'element',
};

function records(folder: string): RigRecord[] {
  const index = JSON.parse(readFileSync(resolve(folder, 'index.json'), 'utf8')) as { records: RigRecord[] };
  return index.records.map((record) => ({ ...record, file: resolve(folder, record.file) }));
}

async function detectedIn(record: RigRecord): Promise<Defect[]> {
  const wav = await openWav(record.file);
  const samples = new Float32Array(wav.frames);
  await wav.read(0, wav.frames, [samples]);
  await wav.close();
  const shaft = record.shaft_rpm / 60;
  const multiples = record.defect_multiples;
  const rates = {
    outer: multiples.outer * shaft,
    inner: multiples.inner * shaft,
    // The published figure is the spin; a defect on an element strikes twice a turn of it.
    element: 2 * multiples.element * shaft,
    cage: multiples.cage * shaft,
  };
  const { defects } = findBearingDefects(samples, wav.format.sampleRate_Hz, { rates, shaft });
  return DEFECTS.filter((defect) => defects[defect].detected);
}

if (!existsSync(FOLDER)) {
  describe('recordings of bearing rigs', () => {
    it(`NOT CHECKED: ${FOLDER} is absent`, ({ skip }) => skip(`${FOLDER} is absent`));
  });
} else {
  const all = [...records(FOLDER), ...records(resolve(FOLDER, 'cwru'))];
  const short = (record: RigRecord): string => record.file.slice(FOLDER.length + 1);

  describe('recordings of bearing rigs (MFPT, CWRU)', () => {
    const clear = all.filter((r) => r.plainly_detectable);
    it.each(clear.map((r) => [short(r), r] as const))(
      '%s: the published defect and no other',
      async (_, record) => {
        expect(await detectedIn(record)).toEqual([DEFECT_OF_CONDITION[record.condition]]);
      },
    );

    const sound = all.filter((r) => r.condition === 'control' || r.condition === 'healthy');
    it.each(sound.map((r) => [short(r), r] as const))('%s: nothing', async (_, record) => {
      expect(await detectedIn(record)).toEqual([]);
    });

    it('the rest is a challenge: how many are found is reported; no race is blamed for a ball', async () => {
      const challenge = all.filter((r) => !clear.includes(r) && !sound.includes(r));
      let found = 0;
      for (const record of challenge) {
        const detected = await detectedIn(record);
        if (detected.includes(DEFECT_OF_CONDITION[record.condition]!)) found++;
        expect(detected).not.toContain('outer');
        expect(detected).not.toContain('inner');
      }
      console.info(`challenge records found: ${found} of ${challenge.length}`);
    });
  });
}
