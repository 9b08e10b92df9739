import { type Cost, type Decision, type Later, OPTIONS, type Option } from './decision.ts';
import { fromMinor, moneyText, toMinor } from './money.ts';
import { DECISION_WORDS, type DecisionWords } from './words.ts';

/** The shop's own figures. */
export type Rates = {
  readonly currency: string;
  /** Null: not set; then labour cannot be priced. */
  readonly labourRate_per_h: number | null;
  /** Null: not set; then prices stand without tax. */
  readonly tax_percent: number | null;
};

/** One line of the sum, as a reader can check it: what, how it was reckoned, and what came out in minor units. */
export type Step = { readonly label: string; readonly reckoning: string; readonly minor: number };

export type OptionSum = {
  readonly option: Option;
  readonly steps: readonly Step[];
  /** To be paid now, tax included, in minor units; null when something needed for it is not known. */
  readonly now: number | null;
  /**
   * Over the horizon: now, and what comes later times its chance. Null without a chance: none is invented.
   */
  readonly expected: {
    readonly steps: readonly Step[];
    readonly minor: number;
    readonly from: Later['from'];
  } | null;
  /** What is missing for a figure, in words. */
  readonly notes: readonly string[];
};

const trimmed = (value: number, { locale }: DecisionWords): string =>
  value.toLocaleString(locale, { maximumSignificantDigits: 12, useGrouping: false });

/** Parts, labour and tax of one option, step by step. Each part's line is rounded, then the tax on the sum. */
function costNow(
  cost: Cost,
  rates: Rates,
  words: DecisionWords,
): { steps: Step[]; now: number | null; notes: string[] } {
  const { currency, labourRate_per_h: rate, tax_percent } = rates;
  const money = (minor: number): string => moneyText(minor, currency, words.locale);
  const steps: Step[] = cost.parts.map(({ name, quantity, unitPrice }) => ({
    label: name,
    reckoning: `${trimmed(quantity, words)} × ${money(toMinor(unitPrice, currency))}`,
    minor: toMinor(quantity * unitPrice, currency),
  }));
  const notes: string[] = [];
  const hours = cost.labour_h ?? 0;
  if (hours > 0 && rate === null) {
    notes.push(words.noRate);
    return { steps, now: null, notes };
  }
  if (hours > 0 && rate !== null) {
    const reckoning = words.hours(trimmed(hours, words), money(toMinor(rate, currency)));
    steps.push({ label: words.labour, reckoning, minor: toMinor(hours * rate, currency) });
  }
  const net = steps.reduce((sum, s) => sum + s.minor, 0);
  if (steps.length > 1) {
    steps.push({ label: words.net, reckoning: steps.map((s) => money(s.minor)).join(' + '), minor: net });
  }
  if (tax_percent === null) {
    if (net > 0) notes.push(words.noTax);
    return { steps, now: net, notes };
  }
  const tax = Math.round(Number(((net * tax_percent) / 100).toPrecision(15)));
  if (net > 0) {
    const reckoning = words.share(trimmed(tax_percent, words), money(net));
    steps.push({ label: words.tax, reckoning, minor: tax });
    steps.push({ label: words.payNow, reckoning: `${money(net)} + ${money(tax)}`, minor: net + tax });
  }
  return { steps, now: net + tax, notes };
}

/**
 * The four options side by side: what each costs now, and what it is expected to cost over the horizon.
 *
 * Expected cost is the price now plus, for an option that leaves the part in place, the chance that it must be
 * replaced within the horizon times what that costs then (the replacement, and what a failure costs beyond it). The
 * chance is the technician's estimate or the shop's own history; without one there is no expected cost, but the two
 * ends between which it lies.
 */
export function optionSums(
  decision: Decision,
  rates: Rates,
  words: DecisionWords = DECISION_WORDS.en,
): OptionSum[] {
  const { currency } = rates;
  const money = (minor: number): string => moneyText(minor, currency, words.locale);
  const replacement = costNow(decision.options.replace.cost, rates, words).now;
  const horizon = words.distance(decision.horizon_km);
  const extra = toMinor(decision.failureExtra ?? 0, currency);
  return OPTIONS.map((option): OptionSum => {
    const { cost, later } = decision.options[option];
    const { steps, now, notes } = costNow(cost, rates, words);
    if (now === null) return { option, steps, now, expected: null, notes };
    if (option !== 'replace' && (replacement === null || replacement === 0)) {
      return { option, steps, now, expected: null, notes: [...notes, words.noReplacement] };
    }
    const price = option === 'replace' ? now : replacement!;
    const then = price + extra;
    if (!later) {
      notes.push(words.noChance(option, horizon, money(now), money(now + then)));
      return { option, steps, now, expected: null, notes };
    }
    const share = toMinor(fromMinor(later.probability * then, currency), currency);
    const expected: Step[] = [];
    if (extra > 0) {
      expected.push({
        label: words.ifItComesToIt,
        reckoning: words.replacementAndMore(money(price), money(extra)),
        minor: then,
      });
    }
    expected.push(
      {
        label: words.chance(horizon, later.from),
        reckoning: words.share(trimmed(later.probability * 100, words), money(then)),
        minor: share,
      },
      { label: words.expected, reckoning: `${money(now)} + ${money(share)}`, minor: now + share },
    );
    return { option, steps, now, expected: { steps: expected, minor: now + share, from: later.from }, notes };
  });
}

/** Fewer decisions of the shop's own than this say nothing. */
export const LEAST_HISTORY = 5;

/** The chance that the shop's own history gives, or null with the sentence that says why there is none. */
export function chanceFromHistory(
  history: { readonly known: number; readonly repaired: number },
  words: DecisionWords = DECISION_WORDS.en,
): { readonly later: Later | null; readonly text: string } {
  const { known, repaired } = history;
  if (known < LEAST_HISTORY) return { later: null, text: words.historyTooShort(known, LEAST_HISTORY) };
  return {
    later: { probability: repaired / known, from: 'shopHistory' },
    text: words.history(repaired, known),
  };
}
