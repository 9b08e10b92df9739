import type { KnownPosition } from '../../shared/driveline/words.ts';
import { PLACES } from '../../shared/vehicle-view/vehicle-view.ts';

const STEPS = {
  ArrowUp: { x: 0, y: -1 },
  ArrowDown: { x: 0, y: 1 },
  ArrowLeft: { x: -1, y: 0 },
  ArrowRight: { x: 1, y: 0 },
} as const;
export type StepKey = keyof typeof STEPS;
export const isStepKey = (key: string): key is StepKey => key in STEPS;

/** The nearest place in the direction of an arrow key; what lies off to the side counts as farther away. */
export function neighbour(from: KnownPosition, key: StepKey): KnownPosition {
  const step = STEPS[key];
  let best = from;
  let least = Number.POSITIVE_INFINITY;
  for (const [name, place] of Object.entries(PLACES) as [KnownPosition, { x: number; y: number }][]) {
    const dx = place.x - PLACES[from].x;
    const dy = place.y - PLACES[from].y;
    const ahead = dx * step.x + dy * step.y;
    const aside = Math.abs(dx * step.y) + Math.abs(dy * step.x);
    if (ahead <= 0) continue;
    const distance = ahead + 2 * aside;
    if (distance < least) {
      least = distance;
      best = name;
    }
  }
  return best;
}
