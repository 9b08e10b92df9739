import type { DrivingState } from '../../driveline/words.ts';
import {
  finite,
  type Heard,
  highest,
  isHub,
  mean,
  middle,
  type Suspect,
  type SuspectFeatures,
} from './heard.ts';
import { ANSWER_BANDS, levelIn, OCTAVES } from './level-profile.ts';

/** Farther away all places are alike far. */
const FAR_HOPS = 3.5;

/**
 * Octave by octave: how much louder the suspect is than the middle (`med`) and the loudest (`max`) of the other
 * places, how far the loudest place stands out (`peak`), and how the level falls with every hop (`slope`), dB. `any` is
 * the octave that stands out most, since nobody knows beforehand where a fault sounds, and `any.alike` against hubs only.
 */
export function levelEvidence({ profiles }: Heard, who: Suspect): SuspectFeatures {
  const out: SuspectFeatures = {};
  const on = profiles.filter((p) => who.hears(p.channel.position));
  const off = profiles.filter((p) => !who.hears(p.channel.position));
  for (let b = 0; b < OCTAVES.length; b++) {
    const here = highest(finite(on.map((p) => p.over_db[b]!)));
    const elsewhere = finite(off.map((p) => p.over_db[b]!));
    const all = finite(profiles.map((p) => p.over_db[b]!));
    out[`oct${b}.med`] = here - middle(elsewhere);
    out[`oct${b}.max`] = here - highest(elsewhere);
    out[`oct${b}.peak`] = all.length > 1 ? highest(all) - middle(all) : Number.NaN;
    out[`oct${b}.slope`] = slope(
      profiles.flatMap((p): [number, number][] =>
        Number.isFinite(p.over_db[b]!)
          ? [[Math.min(FAR_HOPS, who.hops(p.channel.position)), p.over_db[b]!]]
          : [],
      ),
    );
  }
  const hubs = off.filter((p) => isHub(p.channel.position));
  const onHub = on.filter((p) => isHub(p.channel.position));
  out['any.alike'] = highest(
    finite(
      OCTAVES.map(
        (_, b) =>
          highest(finite(onHub.map((p) => p.over_db[b]!))) - highest(finite(hubs.map((p) => p.over_db[b]!))),
      ),
    ),
  );
  const most = (part: string): number => highest(finite(OCTAVES.map((_, b) => out[`oct${b}.${part}`]!)));
  out['any.med'] = most('med');
  out['any.con'] = most('max');
  out['any.peak'] = most('peak');
  return out;
}

/**
 * The octave that stands out most from the colour of its own place and from the same octave elsewhere: what is left
 * when a clamp's gain and the car's loudness are taken away. On the suspect (`on`), over all others (`con`), and
 * anywhere (`peak`), dB.
 */
export function shapeEvidence({ profiles }: Heard, who: Suspect): SuspectFeatures {
  const centred = profiles.map(({ channel, over_db }) => {
    const own = middle(finite(over_db));
    return { channel, over_db: over_db.map((level) => level - own) };
  });
  const usual = OCTAVES.map((_, b) => middle(finite(centred.map((p) => p.over_db[b]!))));
  const outstanding = centred.map(({ channel, over_db }) => ({
    hears: who.hears(channel.position),
    over_db: highest(finite(over_db.map((level, b) => level - usual[b]!))),
  }));
  const of = (hears: boolean): number =>
    highest(finite(outstanding.flatMap((p) => (p.hears === hears ? [p.over_db] : []))));
  return {
    'shape.on': of(true),
    'shape.con': of(true) - of(false),
    'shape.peak': profiles.length > 1 ? highest(finite(outstanding.map((p) => p.over_db))) : Number.NaN,
  };
}

/** Least squares with one square hop added below the line: two near places tell no slope. */
function slope(points: readonly (readonly [number, number])[]): number {
  if (points.length < 2) return Number.NaN;
  const x = mean(points.map((p) => p[0]));
  const y = mean(points.map((p) => p[1]));
  const sxy = points.reduce((sum, p) => sum + (p[0] - x) * (p[1] - y), 0);
  return sxy / points.reduce((sum, p) => sum + (p[0] - x) ** 2, 1);
}

/**
 * How the noise on the suspect changes with the driving, dB: from engine braking and from no load to power, between
 * swaying left and right, and for an octave of engine speed at the same road speed, there also over the other places
 * (`engineCon`). Which side a sway loads depends on who marked it, so there only the size counts.
 */
export function answerEvidence({ profiles }: Heard, who: Suspect): SuspectFeatures {
  const out: SuspectFeatures = {};
  const on = profiles.filter((p) => who.hears(p.channel.position));
  const off = profiles.filter((p) => !who.hears(p.channel.position));
  for (const [b, [name, from, to]] of ANSWER_BANDS.entries()) {
    const level = (state: DrivingState): number =>
      middle(finite(on.map((p) => levelIn(p.channel, from, to, state))));
    const drive = level('drive');
    out[`${name}.driveCoast`] = drive - level('coast');
    out[`${name}.driveFloat`] = drive - level('float');
    out[`${name}.sway`] = Math.abs(level('swayLeft') - level('swayRight'));
    const here = middle(finite(on.map((p) => p.perEngineOctave_db[b]!)));
    out[`${name}.engine`] = here;
    out[`${name}.engineCon`] = here - middle(finite(off.map((p) => p.perEngineOctave_db[b]!)));
  }
  return out;
}
