import type { Source } from '../driveline/words.ts';
import { message } from '../messages/message.ts';
import { kindOf, type SourceKind } from './emission.ts';
import type { FeatureChoice, VisitFeatures } from './features.ts';
import type { Evidence } from './findings.ts';
import type { FamilyFeatures, Observation } from './observation.ts';
import type { FittedFamily, Posterior } from './posterior.ts';

/** Contributions smaller than this (natural log) are not worth a sentence. */
const WORTH_SAYING = 0.3;
const MOST_SENTENCES = 5;
/** Of them about bands of noise, which all sound alike. */
const MOST_BANDS = 2;
/** Hops within which places are on one casting; see `graph.ts`. */
const SAME_CASTING = 0.4;

/** Observations with a level, loudest first, one per place. */
export function loudestFirst(features: FamilyFeatures): Observation[] {
  const seen = new Set<string>();
  return [...features.observations]
    .filter((o) => o.level_db !== null)
    .sort((a, b) => b.level_db! - a.level_db!)
    .filter((o) => !seen.has(o.position) && seen.add(o.position));
}

/**
 * What speaks for a source, in sentences that a customer could follow, strongest first.
 * @returns an empty list when nothing speaks for it
 */
export function evidenceFor(source: Source, after: Posterior, features: VisitFeatures): Evidence[] {
  if (source === 'none') return quietEvidence(after, features);
  const weighed = after.families
    .map((family) => ({
      family,
      weight: after.contributions.get(source)?.get(family.model.features.id) ?? 0,
    }))
    .filter(({ weight }) => weight > WORTH_SAYING)
    .sort((a, b) => b.weight - a.weight);
  const sentences: Evidence[] = [];
  let bands = 0;
  for (const { family } of weighed) {
    const choice = features.choices.find((c) => c.family === family.model.features.id);
    if (choice?.kind === 'band' && ++bands > MOST_BANDS) continue;
    const said = choice && isLoudestNear(source, family, after) && levelSentence(source, family, choice);
    if (said) sentences.push(said);
    // What answers to the driving is said once, of the family that says most.
    const answers = answerSentences(source, family, after);
    sentences.push(...answers.filter((a) => !sentences.some((s) => s.kind === a.kind)));
    if (sentences.length >= MOST_SENTENCES) break;
  }
  return sentences.slice(0, MOST_SENTENCES);
}

/** What is loudest far from a part may yet tell for it, but nobody could follow why. */
function isLoudestNear(source: Source, { model }: FittedFamily, { net }: Posterior): boolean {
  const [first] = loudestFirst(model.features);
  if (!first) return false;
  const hops = (position: string): number => net.path(source, position).hops;
  const nearest = Math.min(...model.features.observations.map((o) => hops(o.position)));
  return hops(first.position) <= nearest + SAME_CASTING;
}

function levelSentence(source: Source, family: FittedFamily, choice: FeatureChoice): Evidence | null {
  const [first, second] = loudestFirst(family.model.features);
  if (!first) return null;
  const place = first.position;
  const difference_db = second ? first.level_db! - second.level_db! : null;
  const louder =
    second && difference_db! >= 0.5
      ? message('evidence.louderThan', { difference_db, place: second.position })
      : null;
  const over_db = first.level_db! - first.against_db;
  if (choice.kind === 'band') {
    if (!second) return null;
    const [low_Hz, high_Hz] = choice.band_Hz;
    return {
      kind: 'band',
      position: place,
      value: round(difference_db!),
      unit: 'dB',
      text: message('evidence.band', { low_Hz, high_Hz, place, louder }),
    };
  }
  if (choice.kind === 'envelope') {
    return {
      kind: 'envelope',
      position: place,
      value: round(over_db),
      unit: 'dB re full modulation',
      text: isModulation(choice.family)
        ? message(`evidence.swells.${choice.family}`, { place, louder })
        : message(`evidence.beats.${choice.part ?? 'unexplained'}`, { order: choice.order, place, louder }),
    };
  }
  // Fainter than the noise around it nobody would hear it as a tone.
  if (over_db < 0) return null;
  const told = message(lineId(choice.family), {
    order: choice.order,
    part: source,
    over_db,
    place,
    louder,
  });
  return {
    kind: 'order',
    position: place,
    value: round(over_db),
    unit: 'dB re third octave of noise around it',
    text: told,
  };
}

const MODULATIONS = ['wheelModulation', 'propModulation', 'engineModulation'] as const;
const isModulation = (family: string): family is (typeof MODULATIONS)[number] =>
  (MODULATIONS as readonly string[]).includes(family);

/** Lines whose origin is known by their order. */
const KNOWN_LINES = [
  'wheelTurning',
  'wheelMultiples',
  'treadLines',
  'meshFront',
  'meshRear',
  'propTurning',
  'engineUneven',
  'engineFiring',
] as const;

function lineId(family: string): `evidence.line.${(typeof KNOWN_LINES)[number] | 'other'}` {
  return `evidence.line.${KNOWN_LINES.find((known) => known === family) ?? 'other'}`;
}

/** What a change with the torque speaks for; wheel bearings and tyres should not change. */
const TORQUE_TOLD: Partial<Record<SourceKind, 'gears' | 'shaft' | 'engine'>> = {
  differential: 'gears',
  transmission: 'gears',
  propshaft: 'shaft',
  engine: 'engine',
};

const ANSWERED_DB = 3;

function answerSentences(source: Source, family: FittedFamily, { net }: Posterior): Evidence[] {
  const answers = family.model.features.answers
    .map((answer) => ({ answer, hops: net.path(source, answer.position).hops }))
    .sort((a, b) => a.hops - b.hops);
  const nearest = answers[0]?.answer;
  if (!nearest) return [];
  const kind = kindOf(source);
  const said: Evidence[] = [];
  const torque = TORQUE_TOLD[kind];
  if (nearest.torque_db !== null && torque && nearest.torque_db >= ANSWERED_DB) {
    said.push({
      kind: 'torque',
      position: nearest.position,
      value: round(nearest.torque_db),
      unit: 'dB',
      text: message(`evidence.torque.${torque}`, { change_db: nearest.torque_db }),
    });
  }
  if (nearest.sway_db !== null && kind === 'wheelBearing' && nearest.sway_db >= ANSWERED_DB) {
    said.push({
      kind: 'sway',
      position: nearest.position,
      value: round(nearest.sway_db),
      unit: 'dB',
      text: message('evidence.sway', { change_db: nearest.sway_db }),
    });
  }
  if (kind === 'tyre' && nearest.torque_db !== null && nearest.torque_db < ANSWERED_DB) {
    said.push({
      kind: 'torque',
      position: nearest.position,
      value: round(nearest.torque_db),
      unit: 'dB',
      text: message('evidence.torque.tyre'),
    });
  }
  return said;
}

function quietEvidence(after: Posterior, features: VisitFeatures): Evidence[] {
  if (features.families.length === 0) return [];
  let loudest: { position: string; gap: number } | null = null;
  for (const family of after.families) {
    const [first, second] = loudestFirst(family.model.features);
    if (!first || !second || !family.model.features.id.startsWith('band')) continue;
    const gap = first.level_db! - second.level_db!;
    if (!loudest || gap > loudest.gap) loudest = { position: first.position, gap };
  }
  if (!loudest) return [];
  return [
    {
      kind: 'band',
      position: loudest.position,
      value: round(loudest.gap),
      unit: 'dB',
      text: message('evidence.quiet', { place: loudest.position, gap_db: loudest.gap }),
    },
  ];
}

const round = (value: number): number => Math.round(value * 10) / 10;
