import type { Source } from '../driveline/words.ts';
import { kindOf, type SourceKind } from './emission.ts';
import type { FeatureChoice, VisitFeatures } from './features.ts';
import type { Evidence } from './findings.ts';
import type { FamilyFeatures, Observation } from './observation.ts';
import type { FittedFamily, Posterior } from './posterior.ts';
import { partName, placeName } from './words-for.ts';

/** Contributions smaller than this (natural log) are not worth a sentence. */
const WORTH_SAYING = 0.3;
const MOST_SENTENCES = 5;

const STRIKING_PART: Record<'outer' | 'inner' | 'element' | 'cage', string> = {
  outer: 'outer ring',
  inner: 'inner ring',
  element: 'rolling elements',
  cage: 'cage',
};

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
  for (const { family } of weighed) {
    const choice = features.choices.find((c) => c.family === family.model.features.id);
    const said = choice && levelSentence(source, family, choice);
    if (said) sentences.push(said);
    sentences.push(...answerSentences(source, family, after));
    if (sentences.length >= MOST_SENTENCES) break;
  }
  return sentences.slice(0, MOST_SENTENCES);
}

function levelSentence(source: Source, family: FittedFamily, choice: FeatureChoice): Evidence | null {
  const [first, second] = loudestFirst(family.model.features);
  if (!first) return null;
  const place = placeName(first.position);
  const difference = second ? first.level_db! - second.level_db! : null;
  const compared =
    second && difference! >= 0.5
      ? `, ${difference!.toFixed(0)} dB louder than at the ${placeName(second.position)}`
      : '';
  const over = first.level_db! - first.against_db;
  if (choice.kind === 'band') {
    if (!second) return null;
    const [lo, hi] = choice.band_Hz;
    return {
      kind: 'band',
      position: first.position,
      value: round(difference!),
      unit: 'dB',
      text: `Noise from ${lo.toFixed(0)} to ${hi.toFixed(0)} Hz is loudest at the ${place}${compared}.`,
    };
  }
  if (choice.kind === 'envelope') {
    const rate = `${choice.order.toFixed(2)} times per wheel turn`;
    if (choice.family.endsWith('Modulation')) {
      const shaft = { wheelModulation: 'wheels', propModulation: 'propshaft', engineModulation: 'engine' }[
        choice.family as 'wheelModulation' | 'propModulation' | 'engineModulation'
      ];
      return {
        kind: 'envelope',
        position: first.position,
        value: round(over),
        unit: 'dB re full modulation',
        text: `The noise swells and fades with the turning of the ${shaft}, most at the ${place}${compared}.`,
      };
    }
    const what = choice.part
      ? `The noise beats ${rate}, as damage on the ${STRIKING_PART[choice.part]} of a wheel bearing makes it`
      : `The noise beats ${rate}, which no shaft or gear of this car explains but a damaged bearing does`;
    return {
      kind: 'envelope',
      position: first.position,
      value: round(over),
      unit: 'dB re full modulation',
      text: `${what}; clearest at the ${place}${compared}.`,
    };
  }
  return {
    kind: 'order',
    position: first.position,
    value: round(over),
    unit: 'dB re third octave of noise around it',
    text: `${lineWords(choice, source)} stands ${over.toFixed(0)} dB against the noise around it at the ${place}${compared}.`,
  };
}

function lineWords(choice: FeatureChoice & { kind: 'orders' }, source: Source): string {
  const order = choice.order.toFixed(1);
  switch (choice.family) {
    case 'wheelTurning':
      return 'A pulse at the wheels’ turning rate';
    case 'wheelMultiples':
      return 'A rumble at multiples of the wheels’ turning rate, as an uneven tyre makes it,';
    case 'treadLines':
      return `A tone ${order} times per wheel turn, as an unevenly worn tread makes it,`;
    case 'meshFront':
      return `The tone of the front ring gear’s teeth (${order} times per wheel turn)`;
    case 'meshRear':
      return `The tone of the rear ring gear’s teeth (${order} times per wheel turn)`;
    case 'propTurning':
      return 'A pulse at the propshaft’s turning rate';
    case 'engineUneven':
      return 'A beat of the engine that appears when its cylinders do not pull alike';
    case 'engineFiring':
      return 'The engine’s own beat';
    default:
      return `A tone ${order} times per wheel turn, which may come from the ${partName(source)},`;
  }
}

const TORQUE_MEANING: Partial<Record<SourceKind, string>> = {
  differential: 'as gears do',
  transmission: 'as gears do',
  propshaft: 'as a loaded shaft does',
  engine: 'as the engine’s load does',
  wheelBearing: 'not with the torque, as a wheel bearing should',
  tyre: 'not with the torque, as a tyre should',
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
  const gears =
    kind === 'differential' || kind === 'transmission' || kind === 'engine' || kind === 'propshaft';
  if (nearest.torque_db !== null && gears && nearest.torque_db >= ANSWERED_DB) {
    said.push({
      kind: 'torque',
      position: nearest.position,
      value: round(nearest.torque_db),
      unit: 'dB',
      text: `It changes by ${nearest.torque_db.toFixed(0)} dB between power, engine braking and no load, ${TORQUE_MEANING[kind]}.`,
    });
  }
  if (nearest.sway_db !== null && kind === 'wheelBearing' && nearest.sway_db >= ANSWERED_DB) {
    said.push({
      kind: 'sway',
      position: nearest.position,
      value: round(nearest.sway_db),
      unit: 'dB',
      text: `It changes by ${nearest.sway_db.toFixed(0)} dB between swaying left and right, as a wheel bearing under side load does.`,
    });
  }
  if (kind === 'tyre' && nearest.torque_db !== null && nearest.torque_db < ANSWERED_DB) {
    said.push({
      kind: 'torque',
      position: nearest.position,
      value: round(nearest.torque_db),
      unit: 'dB',
      text: 'It hardly changes between power, engine braking and no load: it follows the speed alone, as a tyre does.',
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
      text: `No place stands out: the loudest, the ${placeName(loudest.position)}, is ${loudest.gap.toFixed(0)} dB above the next in its loudest band.`,
    },
  ];
}

const round = (value: number): number => Math.round(value * 10) / 10;
