import type { AwaitedCheck } from '../../db/outcomes.ts';
import type { DueRow } from '../../shared/contract/returning-car.ts';
import { dayOfOdometer } from '../../shared/diagnosis/trend.ts';

const DAY_MS = 86_400_000;

/**
 * The checks that fall due, the most urgent first. A check at an odometer reading gets its day from how the car was
 * driven so far; where that is not known, it stands at the end without a day, since it may be due any time.
 * @param today ISO date
 */
export function dueRows(awaited: readonly AwaitedCheck[], today: string, withinDays: number): DueRow[] {
  return awaited
    .map((check): DueRow => {
      const { readings, startedAt, ...row } = check;
      const estimate =
        check.nextCheckAt_km === null
          ? null
          : dayOfOdometer(
              check.nextCheckAt_km,
              readings.map((r) => ({ at_s: r.at_s, km: r.odometer_km })),
            );
      const days = [check.nextCheckOn, estimate].filter((day) => day !== null).sort();
      const dueOn = days[0] ?? null;
      return {
        vehicleId: row.vehicleId,
        visitId: row.visitId,
        label: row.label,
        plate: row.plate,
        done: row.done,
        source: row.source,
        note: row.note,
        lastVisitAt: startedAt,
        nextCheckOn: row.nextCheckOn,
        nextCheckAt_km: row.nextCheckAt_km,
        dueOn,
        estimated: dueOn !== null && dueOn !== check.nextCheckOn,
        daysLeft: dueOn === null ? null : daysBetween(today, dueOn),
      };
    })
    .filter((row) => row.daysLeft === null || row.daysLeft <= withinDays)
    .sort((a, b) => (a.daysLeft ?? withinDays) - (b.daysLeft ?? withinDays));
}

export const daysBetween = (from: string, to: string): number =>
  Math.round((Date.parse(to) - Date.parse(from)) / DAY_MS);
