import type { Garage } from '../../db/open.ts';
import { searchOf } from '../../db/search.ts';
import { Random } from '../road-drive/random.ts';
import { inventedComplaint, inventedLabel, inventedNote, inventedPlate, inventedVin } from './invented.ts';

export interface LargeGarageOptions {
  readonly vehicles: number;
  readonly visitsPerVehicle: number;
  readonly seed: number;
}

const DAY_MS = 86_400_000;
const FIRST_VISIT = Date.UTC(2015, 0, 5, 8);
const POSITIONS = ['hub-rear-left', 'hub-rear-right'];
const MEASURANDS = [
  ['orderLevel', 'wheel', 'wheel 1×', 'm/s²'],
  ['orderLevel', 'wheel', 'wheel 2×', 'm/s²'],
  ['orderLevel', 'differential-rear', 'ring gear mesh 1×', 'm/s²'],
  ['envelopeProminence', 'wheel-bearing', 'wheel bearing outer ring 1×', 'dB'],
  ['bandLevel', 'place', '28-282 Hz', 'm/s²'],
  ['bandLevel', 'place', '282-4467 Hz', 'm/s²'],
] as const;

/**
 * Adds a workshop's life to a garage, to measure it with: every visit has one run of two channels with its measures,
 * growing over the visits; recordings and seconds are left out. Written past the aggregates, in one transaction,
 * because it is several million rows.
 */
export function seedLargeGarage(garage: Garage, options: LargeGarageOptions): void {
  const { db } = garage;
  const random = new Random(options.seed, 'large garage');
  const search = searchOf(db);
  const insertVehicle = db.prepare(
    'INSERT INTO vehicle (plate, vin, owner_note, spec, created_at, recency_s) VALUES (?, ?, ?, ?, ?, 0)',
  );
  const insertVisit = db.prepare(
    'INSERT INTO visit (vehicle_id, started_at, odometer_km, complaint) VALUES (?, ?, ?, ?)',
  );
  const insertRun = db.prepare(
    `INSERT INTO run (visit_id, started_at, file, sample_rate_Hz, frames, state)
     VALUES (?, ?, ?, 48000, 1440000, 'complete')`,
  );
  const insertChannel = db.prepare(
    'INSERT INTO run_channel (run_id, ordinal, definition, loudest_rms) VALUES (?, ?, ?, ?)',
  );
  const insertMeasurand = db.prepare(
    `INSERT OR IGNORE INTO measurand (kind, part, label, unit, method) VALUES (?, ?, ?, ?, 'invented')`,
  );
  const selectMeasurand = db.prepare<unknown[], { id: number }>(
    `SELECT id FROM measurand WHERE kind = ? AND part = ? AND label = ? AND unit = ? AND method = 'invented'`,
  );
  const insertMeasure = db.prepare(
    `INSERT INTO measure (run_id, channel, measurand_id, state, low_km_h, high_km_h, value, spread, repeats)
     VALUES (?, ?, ?, 'drive', 70, 90, ?, ?, 3)`,
  );

  const insertOutcome = db.prepare(
    `INSERT INTO visit_outcome (visit_id, done, source, note, next_check_on, next_check_km)
     VALUES (?, 'watched', 'differential-rear', 'fluid changed', date(?), ?)`,
  );

  garage.transaction(() => {
    const measurands = MEASURANDS.map((measurand) => {
      insertMeasurand.run(...measurand);
      return selectMeasurand.get(...measurand)!.id;
    });
    for (let n = 1; n <= options.vehicles; n++) {
      const spec = JSON.stringify({ label: inventedLabel(random), layout: 'rwd' });
      let at = FIRST_VISIT + random.integer(0, 700) * DAY_MS;
      let odometer_km = random.integer(0, 150_000);
      const createdAt = new Date(at).toISOString();
      const papers = [inventedPlate(random, n), inventedVin(n), inventedNote(random)];
      const vehicleId = Number(insertVehicle.run(...papers, spec, createdAt).lastInsertRowid);
      const growth = random.range(1, 1.08);
      for (let v = 0; v < options.visitsPerVehicle; v++) {
        const startedAt = new Date(at).toISOString();
        const complaint = inventedComplaint(random);
        const visitId = Number(insertVisit.run(vehicleId, startedAt, odometer_km, complaint).lastInsertRowid);
        const file = `large-${options.seed}-${visitId}.wav`;
        const runId = Number(insertRun.run(visitId, startedAt, file).lastInsertRowid);
        for (const [i, position] of POSITIONS.entries()) {
          const channel = { channel: i + 1, role: 'vibration', position, fullScale_m_s2: 200 };
          insertChannel.run(runId, i, JSON.stringify(channel), 0.01 * random.range(0.5, 2));
          for (const measurand of measurands) {
            insertMeasure.run(runId, i + 1, measurand, growth ** v * random.range(0.8, 1.25), 0.1);
          }
        }
        // One in four cars waits for its next check.
        if (v === options.visitsPerVehicle - 1 && n % 4 === 0) {
          insertOutcome.run(visitId, new Date(at + 180 * DAY_MS).toISOString(), odometer_km + 10_000);
        }
        at += random.integer(60, 200) * DAY_MS;
        odometer_km += random.integer(1000, 12_000);
      }
      search.index(vehicleId);
    }
  });
}
