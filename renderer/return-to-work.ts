import { navigate } from 'wouter/use-hash-location';
import { stepPath } from './steps.ts';
import type { AppStore } from './store/store.ts';

/** A visit that was touched within this time is what the technician was at. */
const STILL_AT_IT_ms = 24 * 3_600_000;

/**
 * A window that opens, or comes back after a crash, opens where the work stands: with the live view in the middle of a
 * drive, else with the step of the visit that was left.
 */
export function returnToWork(store: AppStore): void {
  const stop = store.subscribe(async ({ live, loadUnfinished }) => {
    if (!live) return;
    stop();
    const elsewhere = () => /^#\/./.test(location.hash);
    if (elsewhere()) return;
    if (live.phase === 'watching' || live.phase === 'recording') {
      navigate('/live', { replace: true });
      return;
    }
    await loadUnfinished();
    const [visit] = store.getState().unfinished ?? [];
    if (visit && !elsewhere() && Date.now() - Date.parse(visit.changedAt) < STILL_AT_IT_ms)
      navigate(stepPath(visit.visitId, visit.step), { replace: true });
  });
}
