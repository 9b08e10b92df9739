import { kindOf, type SourceKind } from '../../shared/diagnosis/emission.ts';
import type { Findings } from '../../shared/diagnosis/findings.ts';
import { sureSet } from '../../shared/diagnosis/verdict.ts';
import type { Source } from '../../shared/driveline/words.ts';

/** One judged visit. */
export interface Outcome {
  readonly truth: Source;
  readonly findings: Pick<Findings, 'verdict' | 'sources'>;
}

export interface Tally {
  visits: number;
  first: number;
  pinpointed: number;
  pinpointedRight: number;
  narrowed: number;
  narrowedRight: number;
  accused: number;
}

export interface Score {
  readonly byKind: ReadonlyMap<SourceKind, Tally>;
  readonly all: Tally;
  /** Mean gap between the probability of the first-ranked source and how often it is right, over ten classes. */
  readonly calibrationError: number;
  /** The part of that gap that a perfectly calibrated judge would show with so few visits. */
  readonly calibrationByChance: number;
}

const empty = (): Tally => ({
  visits: 0,
  first: 0,
  pinpointed: 0,
  pinpointedRight: 0,
  narrowed: 0,
  narrowedRight: 0,
  accused: 0,
});

function count(tally: Tally, { truth, findings }: Outcome): void {
  const first = findings.sources[0]!.source;
  tally.visits++;
  if (first === truth) tally.first++;
  if (findings.verdict === 'pinpointed') {
    tally.pinpointed++;
    if (first === truth) tally.pinpointedRight++;
  }
  if (findings.verdict === 'narrowed') {
    tally.narrowed++;
    if (sureSet(findings.sources).some((s) => s.source === truth)) tally.narrowedRight++;
  }
  if (truth === 'none' && (findings.verdict === 'pinpointed' || findings.verdict === 'narrowed'))
    tally.accused++;
}

const CLASSES = 10;

/** Expected calibration error of the first-ranked source's probability (Naeini et al., AAAI 2015). */
function calibration(outcomes: readonly Outcome[]): { error: number; byChance: number } {
  const classes = Array.from({ length: CLASSES }, () => ({ n: 0, p: 0, right: 0, variance: 0 }));
  for (const { truth, findings } of outcomes) {
    const { source, probability: p } = findings.sources[0]!;
    const own = classes[Math.min(CLASSES - 1, Math.floor(p * CLASSES))]!;
    own.n++;
    own.p += p;
    own.variance += p * (1 - p);
    if (source === truth) own.right++;
  }
  let error = 0;
  let byChance = 0;
  for (const { p, right, variance } of classes) {
    error += Math.abs(p - right) / outcomes.length;
    // Mean absolute deviation of a sum of independent draws, √(2/π) of its standard deviation.
    byChance += Math.sqrt((2 / Math.PI) * variance) / outcomes.length;
  }
  return { error, byChance };
}

export function score(outcomes: readonly Outcome[]): Score {
  const byKind = new Map<SourceKind, Tally>();
  const all = empty();
  for (const outcome of outcomes) {
    const kind = kindOf(outcome.truth);
    const tally = byKind.get(kind) ?? empty();
    byKind.set(kind, tally);
    count(tally, outcome);
    count(all, outcome);
  }
  const { error, byChance } = calibration(outcomes);
  return { byKind, all, calibrationError: error, calibrationByChance: byChance };
}

const share = (part: number, whole: number): string =>
  whole === 0 ? '-' : `${((100 * part) / whole).toFixed(1)} %`;

/** The table as text, one row for each kind of source. */
export function table({ byKind, all }: Score): string {
  const head = ['source', 'visits', 'first right', 'pinpointed', 'right', 'narrowed', 'holds it', 'accused'];
  const row = (name: string, t: Tally): string[] => [
    name,
    String(t.visits),
    share(t.first, t.visits),
    String(t.pinpointed),
    share(t.pinpointedRight, t.pinpointed),
    String(t.narrowed),
    share(t.narrowedRight, t.narrowed),
    name === 'none' ? share(t.accused, t.visits) : '',
  ];
  const rows = [head, ...[...byKind].map(([kind, tally]) => row(kind, tally)), row('all', all)];
  const widths = head.map((_, c) => Math.max(...rows.map((r) => r[c]!.length)));
  return rows.map((r) => r.map((cell, c) => cell.padEnd(widths[c]!)).join('  ')).join('\n');
}
