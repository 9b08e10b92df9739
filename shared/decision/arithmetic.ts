import { type Cost, type Decision, type Later, OPTIONS, type Option } from './decision.ts';
import { fromMinor, moneyText, toMinor } from './money.ts';

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
  readonly expected: { readonly steps: readonly Step[]; readonly minor: number; readonly from: Later['from'] } | null;
  /** What is missing for a figure, in words. */
  readonly notes: readonly string[];
};

const trimmed = (value: number): string => String(Number(value.toPrecision(12)));

/** Parts, labour and tax of one option, step by step. Each part's line is rounded, then the tax on the sum. */
function costNow(cost: Cost, rates: Rates): { steps: Step[]; now: number | null; notes: string[] } {
  const { currency, labourRate_per_h: rate, tax_percent } = rates;
  const money = (minor: number): string => moneyText(minor, currency);
  const steps: Step[] = cost.parts.map(({ name, quantity, unitPrice }) => ({
    label: name,
    reckoning: `${trimmed(quantity)} × ${money(toMinor(unitPrice, currency))}`,
    minor: toMinor(quantity * unitPrice, currency),
  }));
  const notes: string[] = [];
  const hours = cost.labour_h ?? 0;
  if (hours > 0 && rate === null) {
    notes.push('The labour rate is not set, so this option has no price yet.');
    return { steps, now: null, notes };
  }
  if (hours > 0 && rate !== null) {
    const reckoning = `${trimmed(hours)} h × ${money(toMinor(rate, currency))}`;
    steps.push({ label: 'Labour', reckoning, minor: toMinor(hours * rate, currency) });
  }
  const net = steps.reduce((sum, s) => sum + s.minor, 0);
  if (steps.length > 1) {
    steps.push({ label: 'Net', reckoning: steps.map((s) => money(s.minor)).join(' + '), minor: net });
  }
  if (tax_percent === null) {
    if (net > 0) notes.push('The tax is not set: prices stand without it.');
    return { steps, now: net, notes };
  }
  const tax = Math.round(Number(((net * tax_percent) / 100).toPrecision(15)));
  if (net > 0) {
    steps.push({ label: 'Tax', reckoning: `${trimmed(tax_percent)} % of ${money(net)}`, minor: tax });
    steps.push({ label: 'To be paid now', reckoning: `${money(net)} + ${money(tax)}`, minor: net + tax });
  }
  return { steps, now: net + tax, notes };
}

const WHO: Record<Later['from'], string> = {
  technician: 'the technician’s own estimate',
  shopHistory: 'this shop’s own history',
};

/**
 * The four options side by side: what each costs now, and what it is expected to cost over the horizon.
 *
 * Expected cost is the price now plus, for an option that leaves the part in place, the chance that it must be
 * replaced within the horizon times what that costs then (the replacement, and what a failure costs beyond it). The
 * chance is the technician's estimate or the shop's own history; without one there is no expected cost, but the two
 * ends between which it lies.
 */
export function optionSums(decision: Decision, rates: Rates): OptionSum[] {
  const { currency } = rates;
  const money = (minor: number): string => moneyText(minor, currency);
  const replacement = costNow(decision.options.replace.cost, rates).now;
  const extra = toMinor(decision.failureExtra ?? 0, currency);
  return OPTIONS.map((option): OptionSum => {
    const { cost, later } = decision.options[option];
    const { steps, now, notes } = costNow(cost, rates);
    if (now === null) return { option, steps, now, expected: null, notes };
    if (option !== 'replace' && (replacement === null || replacement === 0)) {
      const note = 'What a later replacement costs is not known: fill in the option to replace first.';
      return { option, steps, now, expected: null, notes: [...notes, note] };
    }
    const price = option === 'replace' ? now : replacement!;
    const then = price + extra;
    if (!later) {
      const alone = option === 'replace' ? 'fails again' : 'must be replaced';
      notes.push(
        `No chance that it ${alone} within ${decision.horizon_km.toLocaleString('en')} km has been given and this shop has no history of it: the cost lies between ${money(now)} and ${money(now + then)}.`,
      );
      return { option, steps, now, expected: null, notes };
    }
    const share = toMinor(fromMinor(later.probability * then, currency), currency);
    const expected: Step[] = [];
    if (extra > 0) {
      expected.push({
        label: 'If it comes to it',
        reckoning: `${money(price)} replacement + ${money(extra)} beyond it`,
        minor: then,
      });
    }
    expected.push(
      {
        label: `Chance within ${decision.horizon_km.toLocaleString('en')} km (${WHO[later.from]})`,
        reckoning: `${trimmed(later.probability * 100)} % of ${money(then)}`,
        minor: share,
      },
      { label: 'Expected cost', reckoning: `${money(now)} + ${money(share)}`, minor: now + share },
    );
    return { option, steps, now, expected: { steps: expected, minor: now + share, from: later.from }, notes };
  });
}

/** Fewer decisions of the shop's own than this say nothing. */
export const LEAST_HISTORY = 5;

/** The chance that the shop's own history gives, or null with the sentence that says why there is none. */
export function chanceFromHistory(history: { readonly known: number; readonly repaired: number }): {
  readonly later: Later | null;
  readonly text: string;
} {
  const { known, repaired } = history;
  if (known < LEAST_HISTORY) {
    const some = known === 0 ? 'none' : `only ${known}`;
    return {
      later: null,
      text: `This shop knows the end of ${some} of its own decisions of this kind; ${LEAST_HISTORY} are needed before they say anything.`,
    };
  }
  return {
    later: { probability: repaired / known, from: 'shopHistory' },
    text: `${repaired} of ${known} vehicles of this shop came back for the repair within the horizon.`,
  };
}
