import type { VisitScenario } from '../road-drive/scenario.ts';

const YEAR_MS = 365.25 * 86_400_000;

/**
 * A later visit of the same vehicle: paths and healthy sounds are the same, the fault has the new severity (one tenth
 * more is about 1.4 dB more gear noise), and road, driver and mounting of the pickups are drawn anew.
 */
export function returningScenario(
  first: VisitScenario,
  later: { yearsLater: number; severity: number; kmPerYear?: number },
): VisitScenario {
  const { yearsLater, severity, kmPerYear = 17_500 } = later;
  const odometer_km = first.vehicle.odometer_km + Math.round(kmPerYear * yearsLater);
  return {
    ...first,
    visitSeed: first.visitSeed + 1 + Math.round(yearsLater * 1000),
    startedAt: new Date(Date.parse(first.startedAt) + yearsLater * YEAR_MS).toISOString(),
    vehicle: { ...first.vehicle, odometer_km },
    fault: { ...first.fault, severity },
  };
}
