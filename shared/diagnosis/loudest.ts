import type { Position, Source } from '../driveline/words.ts';
import { mean } from '../dsp/levels.ts';
import type { FittedFamily, Posterior } from './posterior.ts';

/** A place this much louder than the part itself, twice as loud, is not a matter of two mountings of ±3 dB alone. */
const CLEARLY_LOUDER_DB = 6;
/** Families that speak at least this share of the strongest one's word must agree. */
const SPEAKS_UP = 2 / 3;

/**
 * Places that are clearly louder than the suspected part's own, in any family that speaks up for it: the technician's
 * own test, which guards against a path that happens to ring. Runs that had pickups on both count alike, so that a
 * poor mounting can be made good by clamping once more. Empty when the part was never heard beside another place.
 */
export function placesLouderThan(source: Source, after: Posterior): Position[] {
  const words = after.contributions.get(source);
  if (!words) return [];
  const strongest = Math.max(...words.values());
  const families = after.families.filter(
    ({ model }) => words.get(model.features.id)! >= SPEAKS_UP * strongest,
  );
  return [...new Set(families.flatMap((family) => louderInFamily(family, source, after)))];
}

function louderInFamily({ model }: FittedFamily, source: Source, { net }: Posterior): Position[] {
  const heard = model.features.observations.flatMap((o) =>
    o.level_db === null ? [] : [{ ...o, level_db: o.level_db }],
  );
  const excesses = new Map<Position, number[]>();
  for (const run of new Set(heard.map((o) => o.run))) {
    const inRun = heard.filter((o) => o.run === run);
    const on = inRun.filter((o) => net.isOn(source, o.position));
    if (on.length === 0) continue;
    const own_db = Math.max(...on.map((o) => o.level_db));
    for (const { position, level_db } of inRun) {
      if (net.isOn(source, position)) continue;
      excesses.set(position, [...(excesses.get(position) ?? []), level_db - own_db]);
    }
  }
  return [...excesses].flatMap(([position, all]) => (mean(all) > CLEARLY_LOUDER_DB ? [position] : []));
}
