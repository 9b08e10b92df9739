import { TONE_ORIGINS } from '../tone-origin.ts';
import { type Heard, highest, type Suspect, type SuspectFeatures } from './heard.ts';

/** Stands for "no such tone". */
const NO_TONE_DB = -15;
const LEAST_SHARE_DB = -40;
/** Low tones are engines' and shafts', higher ones gears'. */
const LOW_ORDER = 12;
/** A tone this much louder elsewhere is not the suspect's, dB. */
const ELSEWHERE_DB = 3;

/**
 * Tones, whatever makes them: the clearest that is loudest on the suspect (`on`, `low` below order 12), how many such
 * there are (`count`), both also for those of one origin, the clearest that is plainly louder elsewhere (`else`) and of
 * all (`max`), and where the clearest of all is loudest (`con`). In dB over the noise around them; `share` in dB over
 * all that is heard at the place.
 */
export function toneEvidence({ tones }: Heard, who: Suspect): SuspectFeatures {
  let on = Number.NEGATIVE_INFINITY;
  let low = Number.NEGATIVE_INFINITY;
  let elsewhere = Number.NEGATIVE_INFINITY;
  let count = 0;
  let share = Number.NEGATIVE_INFINITY;
  const byOrigin = new Map(TONE_ORIGINS.map((o) => [o, { on: Number.NEGATIVE_INFINITY, count: 0 }]));
  let clearest = { over_db: Number.NEGATIVE_INFINITY, contrast_db: Number.NaN };
  for (const tone of tones) {
    const off = highest(tone.heard.filter((h) => !who.hears(h.position)).map((h) => h.level_db));
    const over_db = highest(tone.heard.map((h) => h.over_db));
    const here = tone.heard
      .filter((h) => who.hears(h.position))
      .reduce<(typeof tone.heard)[number] | null>((a, b) => (a && a.level_db >= b.level_db ? a : b), null);
    if (!here) continue;
    const contrast_db = here.level_db - off;
    if (Number.isFinite(contrast_db) && over_db > clearest.over_db) clearest = { over_db, contrast_db };
    if (!(contrast_db < 0)) {
      on = Math.max(on, here.over_db);
      share = Math.max(share, here.share_db);
      if (tone.order < LOW_ORDER) low = Math.max(low, here.over_db);
      if (here.over_db > 0) count++;
      const alike = byOrigin.get(tone.origin)!;
      alike.on = Math.max(alike.on, here.over_db);
      if (here.over_db > 0) alike.count++;
    } else if (contrast_db < -ELSEWHERE_DB) elsewhere = Math.max(elsewhere, over_db);
  }
  const measured = tones.length > 0;
  const orNone = (db: number): number => (measured ? Math.max(NO_TONE_DB, db) : Number.NaN);
  const origins = [...byOrigin].flatMap(([origin, { on: clearest_db, count: number }]) => [
    [`${origin}Tone.on`, orNone(clearest_db)],
    [`${origin}Tone.count`, measured ? number : Number.NaN],
  ]);
  return {
    ...Object.fromEntries(origins),
    'tone.on': orNone(on),
    'tone.low': orNone(low),
    'tone.else': orNone(elsewhere),
    'tone.max': highest(tones.flatMap((t) => t.heard.map((h) => h.over_db))),
    'tone.con': clearest.contrast_db,
    'share.on': measured ? Math.max(LEAST_SHARE_DB, share) : Number.NaN,
    'share.all': highest(tones.flatMap((t) => t.heard.map((h) => h.share_db))),
    'tone.count': measured ? count : Number.NaN,
  };
}
