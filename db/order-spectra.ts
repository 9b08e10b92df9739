import type { DrivingState } from '../shared/driveline/words.ts';
import { type Database, durably } from './database.ts';
import { blobOf, floatsOf } from './float-blob.ts';

/** Where in a run a spectrum was averaged. */
export interface SpectrumPlace {
  readonly channel: number;
  readonly state: DrivingState;
  readonly speedBand: { readonly low_km_h: number; readonly high_km_h: number };
}

/** Spectrum over the turns of a wheel; RMS as a ratio of full scale, bin k at order k × step. */
export interface OrderSpectrumOfRun extends SpectrumPlace {
  readonly step: number;
  readonly rms: Float32Array;
}

export function orderSpectraOf(db: Database) {
  const forget = db.prepare<[number]>('DELETE FROM order_spectrum WHERE run_id = ?');
  const insert = db.prepare<[number, number, string, number, number, number, Buffer]>(
    `INSERT INTO order_spectrum (run_id, channel, state, low_km_h, high_km_h, step, rms)
     VALUES (?, ?, ?, ?, ?, ?, ?)`,
  );
  const select = db.prepare<[number, number, string, number, number], { step: number; rms: Uint8Array }>(
    `SELECT step, rms FROM order_spectrum
     WHERE run_id = ? AND channel = ? AND state = ? AND low_km_h = ? AND high_km_h = ?`,
  );
  return {
    /** They take the place of those of an earlier analysis of the same run. */
    replaceOfRun(runId: number, spectra: readonly OrderSpectrumOfRun[]): void {
      durably(db, () => {
        forget.run(runId);
        for (const { channel, state, speedBand, step, rms } of spectra) {
          insert.run(runId, channel, state, speedBand.low_km_h, speedBand.high_km_h, step, blobOf(rms));
        }
      });
    },

    of(
      runId: number,
      { channel, state, speedBand }: SpectrumPlace,
    ): { step: number; rms: Float32Array } | null {
      const row = select.get(runId, channel, state, speedBand.low_km_h, speedBand.high_km_h);
      return row ? { step: row.step, rms: floatsOf(row.rms) } : null;
    },
  };
}
export type OrderSpectra = ReturnType<typeof orderSpectraOf>;
