import type { DrawnSpectrum, Findings } from '../../diagnosis/findings.ts';
import type { Source } from '../../driveline/words.ts';
import { orderName } from '../../messages/tell.ts';
import type { ReportData } from '../report-data.ts';
import type { ReportWords } from '../words.ts';
import { clipped } from './clipped.ts';

/** What the drawings show, as figures with their sentences; how it is drawn is no business of theirs. */

export type PlaceLevel = {
  readonly position: string;
  readonly name: string;
  /** dB re the loudest place: 0 or less. */
  readonly level_db: number;
  /** False: it was not heard above the other noise, and lies at this level or below. */
  readonly heard: boolean;
};

export type LevelsContent = {
  readonly title: string;
  /** Loudest first. */
  readonly places: readonly PlaceLevel[];
  readonly sentence: string;
};

export type SpectrumContent = {
  readonly title: string;
  readonly axis: string;
  readonly levelAxis: string;
  /** Lines in dB over orders of the wheel. */
  readonly lines: readonly {
    readonly name: string;
    readonly dashed: boolean;
    readonly orders: readonly number[];
    readonly level_db: readonly number[];
  }[];
  readonly marks: readonly { readonly label: string; readonly order: number }[];
  readonly highestOrder: number;
  readonly sentence: string;
};

export type ComparisonContent = {
  readonly title: string;
  readonly axis: string;
  readonly rows: readonly {
    readonly figure: string;
    readonly at: string;
    readonly difference_db: number;
    readonly uncertainty_db: number;
    /** `+6.2 dB ± 3.1, louder` */
    readonly said: string;
  }[];
  readonly sentence: string;
};

const MOST_PLACES = 10;
const MOST_MARKS = 6;
const MOST_ROWS = 5;
/** Share of figures outside their 95 % range although nothing has changed. */
const BY_CHANCE = 0.05;
/** dB re 1 µm/s² (ISO 1683). */
const REFERENCE_M_S2 = 1e-6;

/** The level of what convinces at every place; null when no two places can be put on one scale. */
export function levelsContent({ findings, runs }: ReportData, words: ReportWords): LevelsContent | null {
  if (!findings) return null;
  const { convincing } = findings;
  const levels = convincing
    ? convincing.levels
    : findings.channels.flatMap(({ position, rms_m_s2, faults }) =>
        rms_m_s2 !== null && rms_m_s2 > 0 && faults.length === 0
          ? [{ position, level_db: 20 * Math.log10(rms_m_s2 / REFERENCE_M_S2), heard: true }]
          : [],
      );
  const allCalibrated = runs.every((r) => r.channels.every((c) => c.calibrated));
  // An order against the noise around it needs no scale; a band or an envelope does.
  if (convincing && convincing.kind !== 'orders' && !allCalibrated) return null;
  const byPlace = new Map<string, { level_db: number; heard: boolean }>();
  for (const { position, level_db, heard } of levels) {
    const known = byPlace.get(position);
    if (!known || level_db > known.level_db) byPlace.set(position, { level_db, heard });
  }
  if (byPlace.size < 2) return null;
  const loudest = Math.max(...[...byPlace.values()].map((l) => l.level_db));
  const places = [...byPlace]
    .map(([position, { level_db, heard }]) => ({
      position,
      name: clipped(words.named('place', position), 40),
      level_db: level_db - loudest,
      heard,
    }))
    .sort((a, b) => b.level_db - a.level_db)
    .slice(0, MOST_PLACES);
  const [first, second] = places;
  const what = words.t(`levels.of.${convincing?.kind ?? 'overall'}`);
  return {
    title: words.t('levels.title'),
    places,
    sentence: [
      words.t('levels.sentence', { what, place: first!.name }),
      words.t('levels.gap', { gap: words.decibels(-second!.level_db, 1), place: second!.name }),
    ].join(' '),
  };
}

/** Spectra at the loud and the quiet place over orders, with the orders of the part in question. */
export function spectrumContent(
  { findings, runs }: ReportData,
  source: Source | null,
  words: ReportWords,
): SpectrumContent | null {
  const convincing = findings?.convincing;
  if (!findings || !convincing) return null;
  const at = (place: { run: number; channel: number }): DrawnSpectrum | undefined =>
    findings.spectra.find((s) => s.run === place.run && s.channel === place.channel);
  const [loud, quiet] = [at(convincing.loud), at(convincing.quiet)];
  if (!loud) return null;
  const shown = [loud, ...(quiet ? [quiet] : [])];
  const calibrated = shown.every(
    (s) => runs[s.run - 1]?.channels.find((c) => c.channel === s.channel)?.calibrated === true,
  );
  const own = findings.lines.filter((l) => source !== null && l.sources.includes(source));
  const end = Math.min(...shown.map((s) => s.first + s.step * (s.rms.length - 1)));
  const marks = own
    .map((l) => ({ label: orderName(words.language, l.label), order: l.order }))
    .filter((m) => m.order <= end);
  const heardAt = convincing.order !== null && convincing.order <= end ? convincing.order : null;
  if (marks.length === 0 && heardAt !== null) {
    marks.push({ label: `${words.number(heardAt, 1)}×`, order: heardAt });
  }
  const wanted = Math.max(12, 1.25 * Math.max(0, ...marks.map((m) => m.order)));
  const highestOrder = Math.min(end, wanted);
  const reference = calibrated ? REFERENCE_M_S2 : 1;
  const lines = shown.map((s, i) => {
    const name = clipped(words.named('place', s.position), 40);
    const points = s.rms
      .map((rms, k) => ({ order: s.first + k * s.step, rms }))
      // Below half a turn lies the road, not a part.
      .filter((p) => p.order >= 0.5 && p.order <= highestOrder && p.rms > 0);
    return {
      name: words.t(i === 0 ? 'spectrum.loud' : 'spectrum.quiet', { place: name }),
      dashed: i > 0,
      orders: points.map((p) => p.order),
      level_db: points.map((p) => 20 * Math.log10(p.rms / reference)),
    };
  });
  if (lines.some((l) => l.orders.length < 2)) return null;
  const kept = marks.sort((a, b) => a.order - b.order).slice(0, MOST_MARKS);
  return {
    title: words.t('spectrum.title'),
    axis: words.t('spectrum.axis'),
    levelAxis: words.t(calibrated ? 'spectrum.level' : 'spectrum.relative'),
    lines,
    marks: kept,
    highestOrder,
    sentence: spectrumSentence(own.length > 0, kept, source, words),
  };
}

function spectrumSentence(
  own: boolean,
  marks: SpectrumContent['marks'],
  source: Source | null,
  { t, named, number }: ReportWords,
): string {
  if (marks.length === 0) return t('spectrum.sentenceNone');
  if (!own || source === null) return t('spectrum.sentenceAll');
  const told = marks.map((m, i) => `${i + 1} ${m.label} (${number(m.order, 1)})`).join(', ');
  return `${t('spectrum.sentence', { part: named('part', source) })} ${t('spectrum.marked', { marks: told })}`;
}

/** Parts of the measures that belong to a source. */
const belongs = (part: string, source: Source | null): boolean =>
  source !== null &&
  (part === source || (part === 'wheel' ? source.startsWith('tyre') : source.startsWith(part)));

/** What changed since the last visit, like with like only. */
export function comparisonContent(
  { comparison }: ReportData,
  source: Source | null,
  words: ReportWords,
): ComparisonContent | null {
  if (!comparison) return null;
  const { t, named, decibels, range, list } = words;
  const { differences, refused } = comparison;
  const date = words.date(comparison.earlierAt);
  const heading = { title: t('comparison.title', { date }), axis: t('comparison.axis') };
  if (differences.length === 0) {
    const reasons = [...new Set(refused.map((r) => r.reason))].map((r) => t(`comparison.reason.${r}`));
    const why = reasons.length > 0 ? reasons : [t('comparison.reason.notMeasured')];
    return { ...heading, rows: [], sentence: t('comparison.none', { date, reasons: list(why) }) };
  }
  const rank = (d: (typeof differences)[number]): number =>
    (belongs(d.part, source) ? 0 : 2) + (d.kind === 'bandLevel' ? 1 : 0);
  const rows = [...differences]
    .map((d, i) => ({ d, i }))
    .sort((a, b) => rank(a.d) - rank(b.d) || a.i - b.i)
    .slice(0, MOST_ROWS)
    .map(({ d }) => {
      const label =
        d.kind === 'bandLevel' ? t('comparison.band', { band: d.label }) : orderName(words.language, d.label);
      const sign = d.difference_db > 0 ? '+' : '';
      return {
        figure: t('comparison.row', { figure: label, place: clipped(named('place', d.position), 40) }),
        at: `${t(`state.${d.state}`)}, ${range(d.speedBand.low_km_h, d.speedBand.high_km_h, 'speed')}`,
        difference_db: d.difference_db,
        uncertainty_db: d.uncertainty_db,
        said: `${sign}${decibels(d.difference_db, 1)} ± ${words.number(d.uncertainty_db, 1)}, ${t(`comparison.change.${d.change}`)}`,
      };
    });
  const changed = differences.filter((d) => d.change !== 'withinUncertainty').length;
  const byChance = BY_CHANCE * differences.length;
  const sentence = t('comparison.sentence', {
    changed,
    all: differences.length,
    chance: words.number(byChance, byChance < 1 ? 1 : 0),
  });
  return { ...heading, rows, sentence };
}

/** The part that the charts are about: the first of the findings, unless nothing is wrong. */
export const sourceInQuestion = (findings: Findings | null): Source | null => {
  const first = findings?.sources.find((s) => s.source !== 'none');
  return findings && findings.verdict !== 'nothingAbnormal' && first ? first.source : null;
};
