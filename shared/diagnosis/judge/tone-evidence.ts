import { TONE_ORIGINS } from '../tone-origin.ts';
import type { Tone } from '../tones.ts';
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
 * there are at most in one run and gear (`count`), where the clearest of all is loudest (`con`), and the clearest of
 * all (`max`), all of them also for those of one origin; and the clearest that is plainly louder elsewhere (`else`). In
 * dB over the noise around them; `share` in dB over all that is heard at the place.
 */
export function toneEvidence({ tones }: Heard, who: Suspect): SuspectFeatures {
  const own = tones.flatMap((tone) => heardBy(tone, who) ?? []);
  const on = own.filter((t) => !(t.contrast_db < 0));
  const measured = tones.length > 0;
  const atLeast = (db: number, least: number): number =>
    !measured ? Number.NaN : Number.isNaN(db) ? least : Math.max(least, db);
  const out: SuspectFeatures = {
    'tone.low': atLeast(
      highest(on.filter((t) => t.tone.order < LOW_ORDER).map((t) => t.here_db)),
      NO_TONE_DB,
    ),
    'tone.else': atLeast(
      highest(own.filter((t) => t.contrast_db < -ELSEWHERE_DB).map((t) => t.clearest_db)),
      NO_TONE_DB,
    ),
    'share.on': atLeast(highest(on.map((t) => t.share_db)), LEAST_SHARE_DB),
    'share.all': highest(tones.flatMap((t) => t.heard.map((h) => h.share_db))),
  };
  for (const origin of [null, ...TONE_ORIGINS]) {
    const name = origin === null ? 'tone' : `${origin}Tone`;
    const isOf = (tone: Tone): boolean => origin === null || tone.origin === origin;
    const alike = own.filter((t) => isOf(t.tone));
    const alikeOn = on.filter((t) => isOf(t.tone));
    const compared = alike.filter((t) => Number.isFinite(t.contrast_db));
    out[`${name}.on`] = atLeast(highest(alikeOn.map((t) => t.here_db)), NO_TONE_DB);
    out[`${name}.count`] = measured ? mostAtOnce(alikeOn.filter((t) => t.here_db > 0)) : Number.NaN;
    out[`${name}.con`] =
      compared.length > 0
        ? compared.reduce((a, b) => (b.clearest_db > a.clearest_db ? b : a)).contrast_db
        : Number.NaN;
    out[`${name}.max`] = atLeast(
      highest(tones.filter(isOf).flatMap((t) => t.heard.map((h) => h.over_db))),
      NO_TONE_DB,
    );
  }
  return out;
}

/** A tone as the suspect's loudest pickup has it. */
type HeardTone = {
  readonly tone: Tone;
  readonly here_db: number;
  readonly share_db: number;
  /** Over the loudest other place; NaN when there is none. */
  readonly contrast_db: number;
  /** Over the noise around it where it is clearest. */
  readonly clearest_db: number;
};

function heardBy(tone: Tone, who: Suspect): HeardTone | null {
  const on = tone.heard.filter((h) => who.hears(h.position));
  const here = on.length > 0 ? on.reduce((a, b) => (b.level_db > a.level_db ? b : a)) : null;
  if (!here) return null;
  const off = highest(tone.heard.filter((h) => !who.hears(h.position)).map((h) => h.level_db));
  return {
    tone,
    here_db: here.over_db,
    share_db: here.share_db,
    contrast_db: here.level_db - off,
    clearest_db: highest(tone.heard.map((h) => h.over_db)),
  };
}

function mostAtOnce(heard: readonly HeardTone[]): number {
  const counts = new Map<string, number>();
  for (const { tone } of heard) {
    const inGear = `${tone.run} ${tone.gear}`;
    counts.set(inGear, (counts.get(inGear) ?? 0) + 1);
  }
  return Math.max(0, ...counts.values());
}
