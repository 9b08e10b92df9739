import type { KnownPosition } from '../../shared/driveline/words.ts';

/** Where the places lie on the vehicle seen from above, front up, on a field of 100 by 170. */
export const FIELD = { width: 100, height: 170 } as const;

export const PLACES: Record<KnownPosition, { x: number; y: number }> = {
  'engine-mount': { x: 50, y: 16 },
  'hub-front-left': { x: 13, y: 36 },
  'differential-front-left': { x: 36, y: 36 },
  'differential-front-right': { x: 64, y: 36 },
  'hub-front-right': { x: 87, y: 36 },
  transmission: { x: 50, y: 54 },
  'transfer-case': { x: 50, y: 73 },
  'propshaft-centre-bearing': { x: 50, y: 93 },
  'differential-rear-pinion': { x: 50, y: 117 },
  'hub-rear-left': { x: 13, y: 134 },
  'differential-rear-left': { x: 36, y: 134 },
  'differential-rear-right': { x: 64, y: 134 },
  'hub-rear-right': { x: 87, y: 134 },
  'subframe-rear': { x: 50, y: 154 },
};

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
