import type { Source } from '../driveline/words.ts';
import type { FittedFamily, Posterior } from './posterior.ts';

/** A place this much louder than the part itself, twice as loud, is not a matter of two mountings of ±3 dB alone. */
const CLEARLY_LOUDER_DB = 6;
/** Families that speak at least this share of the strongest one's word must agree. */
const SPEAKS_UP = 2 / 3;

/**
 * Whether the suspected part is where its noise is loudest: in every family that speaks up for it and in every run
 * with a pickup on it. The technician's own test; it guards against a path that happens to ring.
 */
export function isLoudestOnPart(source: Source, after: Posterior): boolean {
  const words = after.contributions.get(source);
  if (!words) return false;
  const strongest = Math.max(...words.values());
  return after.families
    .filter(({ model }) => words.get(model.features.id)! >= SPEAKS_UP * strongest)
    .every((family) => loudestInFamily(family, source, after));
}

function loudestInFamily({ model }: FittedFamily, source: Source, { net }: Posterior): boolean {
  const { observations } = model.features;
  return [...new Set(observations.map((o) => o.run))].every((run) => {
    const heard = observations.filter((o) => o.run === run && o.level_db !== null);
    const on = heard.filter((o) => net.isOn(source, o.position)).map((o) => o.level_db!);
    const off = heard.filter((o) => !net.isOn(source, o.position)).map((o) => o.level_db!);
    return on.length === 0 || off.length === 0 || Math.max(...off) - Math.max(...on) <= CLEARLY_LOUDER_DB;
  });
}
