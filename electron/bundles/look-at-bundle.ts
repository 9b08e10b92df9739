import type { LookedBundle } from '../../shared/contract/returning-car.ts';
import { readVisit } from './read-bundle.ts';

const textOrNull = (value: unknown): string | null =>
  typeof value === 'string' && value.trim() !== '' ? value.trim().slice(0, 200) : null;

/**
 * Reads what a bundle says of its vehicle and runs, and no recording. Plate and VIN are not in the format, which
 * leaves the owner out; a bundle from elsewhere may have them beside it.
 * @throws {BundleError} naming the file and the field
 */
export async function lookAtBundle(folder: string): Promise<LookedBundle> {
  const { vehicle, runs } = await readVisit(folder);
  return {
    label: vehicle.label,
    plate: textOrNull(vehicle.plate),
    vin: textOrNull(vehicle.vin),
    startedAt: runs[0]?.startedAt ?? null,
    runs: runs.length,
  };
}
