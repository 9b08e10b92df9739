import { adviceOn } from '../../decision/advice.ts';
import { type OptionSum, optionSums, type Step } from '../../decision/arithmetic.ts';
import type { Option } from '../../decision/decision.ts';
import { amountOf, message } from '../../messages/message.ts';
import { moneyText } from '../../units/money.ts';
import { emptyInspection } from '../../visit-work/inspection.ts';
import type { ReportData } from '../report-data.ts';
import type { ReportWords } from '../words.ts';
import { clipped } from './clipped.ts';

export type CostLine = { readonly label: string; readonly reckoning: string; readonly amount: string };

export type OptionContent = {
  readonly option: Option;
  readonly name: string;
  readonly chosen: boolean;
  readonly offered: boolean;
  readonly fits: string;
  /** Null: no price yet. */
  readonly now: string | null;
  readonly nowSteps: readonly CostLine[];
  readonly expected: string | null;
  readonly expectedSteps: readonly CostLine[];
  readonly notes: readonly string[];
  readonly risk: readonly string[];
};

export type OptionsContent = {
  readonly about: string | null;
  readonly horizon: string;
  readonly options: readonly OptionContent[];
  readonly remarks: readonly string[];
};

/** More lines of parts are summed up into one. */
const MOST_PARTS = 4;
/** Our own labels are shorter; names of parts may not be. */
const LONGEST_LABEL = 90;

/** The options side by side, with their arithmetic; null when nobody has worked them out. */
export function optionsContent(data: ReportData, words: ReportWords): OptionsContent | null {
  const { decision, findings, settings, inspection } = data;
  if (!decision) return null;
  const { t, named, tell } = words;
  const { currency } = settings;
  const first = findings?.sources[0]?.source ?? null;
  const source = decision.source ?? (findings?.verdict === 'pinpointed' ? first : null);
  const advice = adviceOn({
    inspection: inspection ?? emptyInspection(),
    verdict: findings?.verdict ?? null,
    source,
    levelHasRisen: decision.levelHasRisen,
  });
  const money = (minor: number): string => moneyText(minor, currency, words.locale);
  const lines = (steps: readonly Step[]): CostLine[] =>
    steps.map(({ label, reckoning, minor }) => ({
      label: clipped(tell(label), LONGEST_LABEL),
      reckoning: tell(reckoning),
      amount: money(minor),
    }));
  const content = ({ option, steps, now, expected, notes }: OptionSum): OptionContent => {
    const { offered, fits, risk } = advice.options.find((o) => o.option === option)!;
    const parts = decision.options[option].cost.parts.length;
    return {
      option,
      name: t(`options.${option}`),
      chosen: decision.chosen === option,
      offered,
      fits: offered ? t(`options.fits.${fits}`) : t('options.notOffered'),
      now: now === null ? null : money(now),
      nowSteps: lines(fewer(steps, parts, words, currency)),
      expected: expected && money(expected.minor),
      expectedSteps: lines(expected?.steps ?? []),
      notes: notes.map(tell),
      risk: risk.map(tell),
    };
  };
  const reason = clipped(decision.reason, 200);
  return {
    about: source === null ? null : t('options.about', { part: named('part', source) }),
    horizon: words.quantity(decision.horizon_km, 'distance'),
    options: optionSums(decision, settings).map(content),
    remarks: [
      ...(reason ? [t('options.reason', { reason })] : []),
      ...(decision.chosen && decision.carriedOut ? [t('options.carriedOut')] : []),
    ],
  };
}

/** The first steps are the parts: of many, the last are summed up, and the sum below stays what it was. */
function fewer(steps: readonly Step[], parts: number, { t }: ReportWords, currency: string): readonly Step[] {
  if (parts <= MOST_PARTS + 1) return steps;
  const rest = steps.slice(MOST_PARTS, parts);
  const summed: Step = {
    label: message('written', { text: t('options.moreParts', { count: rest.length }) }),
    reckoning: message('written', { text: '' }),
    minor: rest.reduce((sum, s) => sum + s.minor, 0),
  };
  const shown = [...steps.slice(0, MOST_PARTS), summed, ...steps.slice(parts)];
  const net = shown.findIndex((s) => s.label.id === 'sum.net');
  // The net adds up the lines that stand above it.
  const amounts = shown.slice(0, net).map((s) => amountOf(s.minor, currency));
  return shown.map((step, i) =>
    i === net ? { ...step, reckoning: message('reckoning.sum', { amounts }) } : step,
  );
}
