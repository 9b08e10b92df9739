import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openGarage } from '../../db/open.ts';
import { dueRows } from '../../electron/returning/due-list.ts';
import { vehicleWear } from '../../electron/returning/vehicle-wear.ts';
import { seedLargeGarage } from '../../seeds/garage/large-garage.ts';
import { Random } from '../../seeds/road-drive/random.ts';

export interface GarageBenchOptions {
  readonly vehicles: number;
  readonly visitsPerVehicle: number;
}

export interface GarageFigures {
  readonly vehicles: number;
  readonly visits: number;
  readonly measures: number;
  readonly file_MB: number;
  /** How long it took to make the garage; not a figure of the program. */
  readonly seed_s: number;
  /** From opening the file to the first list of vehicles, the file's pages not yet read by this process. */
  readonly start_ms: number;
  /** A vehicle's page with its visits, all their measures and the trend of each, vehicles drawn at random. */
  readonly vehicle_ms: { readonly p50: number; readonly p95: number; readonly max: number };
  /** The list of cars whose check is due. */
  readonly due_ms: number;
  /** Every prefix of what technicians type, letter by letter. */
  readonly search_ms: { readonly p50: number; readonly p95: number; readonly max: number };
}

const SEED = 1;
const TODAY = '2026-01-01';
const OPENED = 500;
/** Part of a plate, the end of a VIN, a label, words of notes and complaints, words across both, no hit at all. */
const TYPED = [
  'aa-b 00',
  '004711',
  'blue estate',
  'commutes',
  'hum from',
  'grinding noise rear',
  'van uphill',
  'qqqq',
];

/** Measures a garage of the given size, made for the purpose in a temporary folder and removed afterwards. */
export async function benchGarage(options: GarageBenchOptions): Promise<GarageFigures> {
  const folder = mkdtempSync(join(tmpdir(), 'rumblepath-bench-'));
  const path = join(folder, 'garage.db');
  try {
    const empty = openGarage(path);
    const seed_s = timed(() => seedLargeGarage(empty, { ...options, seed: SEED })) / 1000;
    empty.close();

    let garage = empty;
    const start_ms = timed(() => {
      garage = openGarage(path);
      garage.vehicles.search('');
    });
    const random = new Random(SEED, 'bench');
    const vehicle_ms = Array.from({ length: OPENED }, () => {
      const vehicleId = random.integer(1, options.vehicles);
      return timed(() => {
        garage.vehicles.page(vehicleId);
        vehicleWear(garage, vehicleId, null, 0, TODAY);
      });
    });
    const search_ms = TYPED.flatMap((text) =>
      [...text].map((_, i) => timed(() => garage.vehicles.search(text.slice(0, i + 1)))),
    );
    const due_ms = timed(() => dueRows(garage.outcomes.awaited(), TODAY, 60));
    const { measures } = garage.db.prepare('SELECT count(*) AS measures FROM measure').get() as {
      measures: number;
    };
    garage.close();
    return {
      vehicles: options.vehicles,
      visits: options.vehicles * options.visitsPerVehicle,
      measures,
      file_MB: statSync(path).size / 1e6,
      seed_s,
      start_ms,
      vehicle_ms: percentiles(vehicle_ms),
      due_ms,
      search_ms: percentiles(search_ms),
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function timed(work: () => void): number {
  const start = performance.now();
  work();
  return performance.now() - start;
}

function percentiles(times: readonly number[]): { p50: number; p95: number; max: number } {
  const sorted = [...times].sort((a, b) => a - b);
  const at = (share: number) => sorted[Math.min(sorted.length - 1, Math.ceil(share * sorted.length) - 1)]!;
  return { p50: at(0.5), p95: at(0.95), max: at(1) };
}
