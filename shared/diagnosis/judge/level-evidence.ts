import type { DrivingState } from '../../driveline/words.ts';
import { LEVEL_BANDS } from '../front-end.ts';
import { finite, type Heard, highest, mean, middle, type Suspect, type SuspectFeatures } from './heard.ts';
import { levelIn, OCTAVES } from './level-profile.ts';

/** Farther away all places are alike far. */
const FAR_HOPS = 3.5;

/**
 * Octave by octave: how much louder the suspect is than the middle (`med`) and the loudest (`max`) of the other
 * places, how far the loudest place stands out (`peak`), and how the level falls with every hop (`slope`), dB.
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
  return out;
}

/** Least squares with one square hop added below the line: two near places tell no slope. */
function slope(points: readonly (readonly [number, number])[]): number {
  if (points.length < 2) return Number.NaN;
  const x = mean(points.map((p) => p[0]));
  const y = mean(points.map((p) => p[1]));
  const sxy = points.reduce((sum, p) => sum + (p[0] - x) * (p[1] - y), 0);
  return sxy / points.reduce((sum, p) => sum + (p[0] - x) ** 2, 1);
}

const ANSWER_BANDS = [
  ['lo', 0, 12],
  ['mid', 12, 22],
  ['hi', 22, LEVEL_BANDS],
] as const;

/**
 * How the noise on the suspect changes with the driving, dB: from engine braking and from no load to power, and from
 * the right wheels loaded to the left (`sway`, turned so that above zero the suspect's own side is louder when loaded).
 */
export function answerEvidence({ profiles }: Heard, who: Suspect): SuspectFeatures {
  const out: SuspectFeatures = {};
  const on = profiles.filter((p) => who.hears(p.channel.position));
  const side = who.source.endsWith('left') ? 1 : who.source.endsWith('right') ? -1 : Number.NaN;
  for (const [name, from, to] of ANSWER_BANDS) {
    const level = (state: DrivingState): number =>
      middle(finite(on.map((p) => levelIn(p.channel, from, to, state))));
    const drive = level('drive');
    const sway = level('swayLeft') - level('swayRight');
    out[`${name}.driveCoast`] = drive - level('coast');
    out[`${name}.driveFloat`] = drive - level('float');
    out[`${name}.sway`] = side * sway;
    out[`${name}.swayAbs`] = Math.abs(sway);
  }
  return out;
}
