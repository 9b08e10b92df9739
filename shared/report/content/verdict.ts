import { isLeftOut } from '../../diagnosis/channel-faults.ts';
import type { Findings, SourceFinding } from '../../diagnosis/findings.ts';
import { sureSet } from '../../diagnosis/verdict.ts';
import type { ReportWords } from '../words.ts';
import { clipped } from './clipped.ts';

export type VerdictContent = {
  readonly headline: string;
  /** How sure it is, as a sentence; null where nothing is claimed. */
  readonly certainty: string | null;
  readonly why: readonly string[];
  readonly next: string | null;
  readonly leftOut: readonly string[];
};

const MOST_REASONS = 3;
const MOST_PARTS = 4;
const MOST_PLACES = 3;
const MOST_LEFT_OUT = 3;
/** No measurement is certain: what rounds to one is not said. */
const SUREST = 0.999;

/** The verdict in plain words, with its certainty and what speaks for it. */
export function verdictContent(findings: Findings | null, words: ReportWords): VerdictContent {
  const { t, named, list, percent } = words;
  if (!findings) {
    return { headline: t('verdict.nothing'), certainty: null, why: [], next: null, leftOut: [] };
  }
  const [first] = findings.sources;
  const open = sureSet(findings.sources);
  const withShare = ({ source, probability }: SourceFinding): string =>
    `${named('part', source)} (${percent(Math.min(probability, SUREST))})`;
  const sure = first ? Math.min(first.probability, SUREST) : 0;
  const certainty = t('verdict.certainty', { percent: percent(sure), about: Math.floor(100 * sure) });
  const part = first ? named('part', first.source) : '';
  const held = open.reduce((sum, s) => sum + s.probability, 0);
  const listed = open.slice(0, MOST_PARTS);
  const said: Record<Findings['verdict'], { headline: string; certainty: string | null }> = {
    pinpointed: { headline: t('verdict.pinpointed', { part }), certainty },
    nothingAbnormal: { headline: t('verdict.nothingAbnormal'), certainty },
    narrowed:
      open.length > 1
        ? {
            headline: t('verdict.narrowed', { parts: list(open.map(withShare), 'disjunction') }),
            certainty: t('verdict.between', { percent: percent(Math.min(held, SUREST)) }),
          }
        : { headline: t('verdict.likely', { part }), certainty },
    notYet: {
      headline: t('verdict.notYet'),
      certainty: t('verdict.sofar', { parts: list(listed.map(withShare)) }),
    },
  };
  const places = [...new Set(findings.nextPlacement.map((p) => p.position))].slice(0, MOST_PLACES);
  return {
    ...said[findings.verdict],
    why: (first?.evidence ?? []).slice(0, MOST_REASONS).map((e) => clipped(words.tell(e.text), 300)),
    next:
      places.length > 0
        ? t('verdict.next', { places: list(places.map((p) => clipped(named('place', p), 60))) })
        : null,
    leftOut: findings.channels
      .filter((c) => isLeftOut(c.faults))
      .slice(0, MOST_LEFT_OUT)
      .map(({ run, channel, position, faults }) =>
        t('verdict.leftOut', {
          run,
          channel,
          place: clipped(named('place', position), 60),
          faults: list(faults.map((f) => t(`fault.${f}`))),
        }),
      ),
  };
}
