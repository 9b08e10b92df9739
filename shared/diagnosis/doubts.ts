import { type Message, message } from '../messages/message.ts';
import type { Observation } from './observation.ts';
import type { FittedFamily, Posterior } from './posterior.ts';

/** A part's own tone this much louder far away than on the part itself, in one run, is hardly possible. */
const IMPOSSIBLE_DB = 10;
/** Below this over the third octave around it a line is no prominent tone, and may be chance (see `emission.ts`). */
const PROMINENT_DB = 8;
/** Places nearer than this many hops may well resonate and be louder. */
const FAR_HOPS = 0.9;

/**
 * Reasons to doubt that the pickups were where visit.json says: a tone whose part is known, and that is much louder
 * far from its part than on it, points to swapped leads or to a wrong sensitivity.
 */
export function recordingDoubts(after: Posterior): Message[] {
  const doubts = new Map<string, Message>();
  for (const family of after.families) {
    const { model } = family;
    // Of all tones only a mesh can come from nowhere else: low orders of wheels, shafts and engine run together.
    if (model.features.id !== 'meshFront' && model.features.id !== 'meshRear') continue;
    const runs = new Set(model.features.observations.map((o) => o.run));
    for (const run of runs) {
      const doubt = misplaced(family, after, run);
      if (!doubt) continue;
      const { near, far } = doubt;
      doubts.set(
        `${run} ${far.channel} ${near.channel}`,
        message('doubt.misplaced', {
          run: run + 1,
          far: far.position,
          near: near.position,
          farChannel: far.channel,
          nearChannel: near.channel,
        }),
      );
    }
  }
  return [...doubts.values()];
}

function misplaced(
  { belief, model }: FittedFamily,
  { net }: Posterior,
  run: number,
): { near: Observation; far: Observation } | null {
  const own = model.features.observations.filter((o) => o.run === run);
  const hops = (o: Observation): number =>
    Math.min(...belief.emitters.map((e) => net.path(e, o.position).hops));
  const on = own.filter((o) => belief.emitters.some((e) => net.isOn(e, o.position)));
  if (on.length === 0) return null;
  const loud = (o: Observation): number => o.level_db ?? o.limit_db;
  const near = on.reduce((a, b) => (loud(b) > loud(a) ? b : a));
  const far = own
    .filter((o) => o.level_db !== null && o.level_db - o.against_db >= PROMINENT_DB && hops(o) >= FAR_HOPS)
    .sort((a, b) => b.level_db! - a.level_db!)[0];
  return far && far.level_db! - loud(near) > IMPOSSIBLE_DB ? { near, far } : null;
}
