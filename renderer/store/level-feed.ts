import type { Levels } from '../../shared/contract/live.ts';

/**
 * Levels come thirty times a second, faster than React should render. They stay beside the store's state: canvases
 * subscribe here and draw.
 */
export interface LevelFeed {
  readonly latest: () => Levels | null;
  readonly publish: (levels: Levels | null) => void;
  readonly subscribe: (listener: () => void) => () => void;
}

export function createLevelFeed(): LevelFeed {
  let latest: Levels | null = null;
  const listeners = new Set<() => void>();
  return {
    latest: () => latest,
    publish(levels) {
      latest = levels;
      for (const listener of listeners) listener();
    },
    subscribe(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
  };
}
