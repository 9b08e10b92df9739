import { FAMILIES, type FamilyId, type Observation } from '../observation.ts';
import { finite, type Heard, highest, type Suspect, type SuspectFeatures } from './heard.ts';

const LINE_FAMILIES = FAMILIES.filter((f) => !f.startsWith('band'));
const BAND_FAMILIES = FAMILIES.filter((f) => f.startsWith('band'));

/** A family that is not heard at a pickup is this much fainter than what would just have been seen. */
const UNHEARD_DB = 3;

/** Of the two final drives each has its own mesh and hears the other's. */
function ownFamily(id: FamilyId, { source }: Suspect): FamilyId {
  if (source !== 'differential-front') return id;
  return id === 'meshRear' ? 'meshFront' : id === 'meshFront' ? 'meshRear' : id;
}
const nameOf = (id: FamilyId): string =>
  id === 'meshRear' ? 'ownMesh' : id === 'meshFront' ? 'otherMesh' : id;

/**
 * Lines and envelope rates: how far each family stands out on the suspect (`on`) and anywhere (`max`), how much
 * louder it is there than elsewhere in the same run (`con`), how well its levels fit the suspect (`llr`), and how it
 * answers to torque (`tq`) and sway (`sw`) at the nearest pickup. All in dB, `llr` in natural logs.
 */
export function familyEvidence(heard: Heard, who: Suspect): SuspectFeatures {
  const out: SuspectFeatures = {};
  const words = heard.contributions.get(who.source);
  for (const id of LINE_FAMILIES) {
    const own = ownFamily(id, who);
    const family = heard.families.find((f) => f.id === own);
    const name = nameOf(id);
    const observations = family?.observations ?? [];
    const level = (o: Observation): number => o.level_db ?? o.limit_db - UNHEARD_DB;
    const over = (o: Observation): number => level(o) - o.against_db;
    const on = observations.filter((o) => who.hears(o.position));
    const runs = [...new Set(on.map((o) => o.run))];
    out[`${name}.max`] = highest(observations.map(over));
    out[`${name}.on`] = highest(on.map(over));
    out[`${name}.con`] = highest(
      finite(
        runs.map((run) => {
          const off = observations.filter((o) => o.run === run && !who.hears(o.position));
          return highest(on.filter((o) => o.run === run).map(level)) - highest(off.map(level));
        }),
      ),
    );
    out[`${name}.llr`] = words?.get(own) ?? 0;
    const [answer] = [...(family?.answers ?? [])].sort((a, b) => who.hops(a.position) - who.hops(b.position));
    out[`${name}.tq`] = answer?.torque_db ?? Number.NaN;
    out[`${name}.sw`] = answer?.sway_db ?? Number.NaN;
  }
  for (const id of BAND_FAMILIES) out[`${id}.llr`] = words?.get(id) ?? 0;
  return out;
}
