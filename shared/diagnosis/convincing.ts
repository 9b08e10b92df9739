import type { Source } from '../driveline/words.ts';
import { loudestFirst } from './explain.ts';
import type { VisitFeatures } from './features.ts';
import type { Convincing } from './findings.ts';
import type { Posterior } from './posterior.ts';

/**
 * What to play, at the same gain, so that ears can judge: the evidence that speaks most for the first source, where
 * it is loudest and, in the same run, where it is faintest. Also its level at every place, for the picture of the
 * vehicle.
 * @returns null when nothing speaks for the source or no two pickups of one run heard it
 */
export function convincing(source: Source, after: Posterior, features: VisitFeatures): Convincing | null {
  const ranked = [...after.families]
    .map((family) => ({
      family,
      weight: after.contributions.get(source)?.get(family.model.features.id) ?? 0,
    }))
    .filter(({ weight }) => source === 'none' || weight > 0)
    .sort((a, b) => b.weight - a.weight);
  for (const { family } of ranked) {
    const own = family.model.features;
    const choice = features.choices.find((c) => c.family === own.id);
    const [loud] = loudestFirst(own);
    if (!choice || !loud) continue;
    const sameRun = own.observations.filter((o) => o.run === loud.run && o.position !== loud.position);
    if (sameRun.length === 0) continue;
    const level = (o: (typeof sameRun)[number]): number => o.level_db ?? o.limit_db;
    const quiet = sameRun.reduce((a, b) => (level(b) < level(a) ? b : a));
    const place = (o: (typeof sameRun)[number]) => ({
      run: o.run + 1,
      channel: o.channel,
      position: o.position,
    });
    return {
      kind: choice.kind,
      order: choice.kind === 'band' ? null : choice.order,
      band_Hz: choice.kind === 'orders' ? null : [...choice.band_Hz],
      loud: place(loud),
      quiet: place(quiet),
      levels: own.observations.map((o) => ({
        ...place(o),
        level_db: round(level(o)),
        heard: o.level_db !== null,
      })),
    };
  }
  return null;
}

const round = (value: number): number => Math.round(value * 10) / 10;
