import { kindOf } from '../emission.ts';
import { FAMILIES, type FamilyId, type Observation } from '../observation.ts';
import { finite, type Heard, highest, isHub, type Suspect, type SuspectFeatures } from './heard.ts';
import { OWN_FAMILIES } from './own-families.ts';

const LINE_FAMILIES = FAMILIES.filter((f) => !f.startsWith('band'));
const BAND_FAMILIES = FAMILIES.filter((f) => f.startsWith('band'));

/** A family that is not heard at a pickup is this much fainter than what would just have been seen. */
const UNHEARD_DB = 3;

const levelOf = (o: Observation): number => o.level_db ?? o.limit_db - UNHEARD_DB;

/** Of the two final drives each has its own mesh and hears the other's. */
function ownFamily(id: FamilyId, { source }: Suspect): FamilyId {
  if (source !== 'differential-front') return id;
  return id === 'meshRear' ? 'meshFront' : id === 'meshFront' ? 'meshRear' : id;
}
const nameOf = (id: FamilyId): string =>
  id === 'meshRear' ? 'ownMesh' : id === 'meshFront' ? 'otherMesh' : id;

/**
 * Lines and envelope rates: how far each family stands out on the suspect (`on`) and anywhere (`max`), how much
 * louder it is there than elsewhere (`con`) and on the other hubs (`alike`) in the same run, how well its levels fit
 * the suspect (`llr`), and at the nearest pickup how it answers to torque (`tq`) and sway (`sw`) and grows with a
 * doubling of speed (`sp`). `own` is the most of all families that the suspect can make. In dB, `llr` in natural logs.
 */
export function familyEvidence(heard: Heard, who: Suspect): SuspectFeatures {
  const out: SuspectFeatures = {};
  const words = heard.contributions.get(who.source);
  for (const id of LINE_FAMILIES) {
    const own = ownFamily(id, who);
    const family = heard.families.find((f) => f.id === own);
    const name = nameOf(id);
    const observations = family?.observations ?? [];
    const over = (o: Observation): number => levelOf(o) - o.against_db;
    const on = observations.filter((o) => who.hears(o.position));
    const runs = [...new Set(on.map((o) => o.run))];
    out[`${name}.max`] = highest(observations.map(over));
    out[`${name}.on`] = highest(on.map(over));
    out[`${name}.con`] = highest(
      finite(
        runs.map((run) => {
          const off = observations.filter((o) => o.run === run && !who.hears(o.position));
          return highest(on.filter((o) => o.run === run).map(levelOf)) - highest(off.map(levelOf));
        }),
      ),
    );
    out[`${name}.alike`] = overAlike(observations, who);
    out[`${name}.llr`] = words?.get(own) ?? 0;
    const [answer] = [...(family?.answers ?? [])].sort((a, b) => who.hops(a.position) - who.hops(b.position));
    out[`${name}.tq`] = answer?.torque_db ?? Number.NaN;
    out[`${name}.sw`] = answer?.sway_db ?? Number.NaN;
    out[`${name}.sp`] = answer?.perDoubling_db ?? Number.NaN;
  }
  const own = OWN_FAMILIES[kindOf(who.source)];
  for (const part of ['on', 'con', 'alike']) {
    out[`own.${part}`] = highest(finite(own.map((name) => out[`${name}.${part}`] ?? Number.NaN)));
  }
  for (const id of BAND_FAMILIES) out[`${id}.llr`] = words?.get(id) ?? 0;
  return out;
}

/** How much louder it is on the suspect's hub than on the loudest other hub of the same run. */
function overAlike(observations: readonly Observation[], who: Suspect): number {
  const hubs = observations.filter((o) => isHub(o.position));
  return highest(
    finite(
      hubs
        .filter((o) => who.hears(o.position))
        .map((o) => {
          const others = hubs.filter((other) => other.run === o.run && other.position !== o.position);
          return levelOf(o) - highest(others.map(levelOf));
        }),
    ),
  );
}
