import type { Outcome } from '../../shared/contract/returning-car.ts';
import type { Decision } from '../../shared/decision/decision.ts';
import type { Inspection } from '../../shared/visit-work/inspection.ts';

/**
 * What the vehicle's history will say of this visit. Replacing counts once it has been carried out; watching and doing
 * nothing are done by deciding; a further test ends nothing.
 */
export function outcomeOf(decision: Decision | null, inspection: Inspection): Outcome | null {
  const done = decision && doneOf(decision, inspection);
  if (!decision || !done) return null;
  return {
    done,
    source: decision.source === 'none' ? null : decision.source,
    note: decision.reason,
    nextCheckOn: decision.nextCheck.date,
    nextCheckAt_km: decision.nextCheck.odometer_km,
  };
}

function doneOf({ chosen, carriedOut }: Decision, inspection: Inspection): Outcome['done'] | null {
  switch (chosen) {
    case 'replace':
      return carriedOut ? 'repaired' : null;
    case 'watch':
      return inspection.units.some((u) => (u.refilled_l ?? 0) > 0) ? 'serviced' : 'watched';
    case 'nothing':
      return 'nothing';
    default:
      return null;
  }
}
