import { navigate } from 'wouter/use-hash-location';
import type { AppStore } from './store/store.ts';

/** A window that opens, or comes back after a crash, in the middle of a drive opens with the live view. */
export function returnToDrive(store: AppStore): void {
  const stop = store.subscribe(({ live }) => {
    if (!live) return;
    stop();
    const measuring = live.phase === 'watching' || live.phase === 'recording';
    if (measuring && !/^#\/./.test(location.hash)) navigate('/live', { replace: true });
  });
}
