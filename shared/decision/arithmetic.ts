import { amountOf, type Message, message } from '../messages/message.ts';
import { fromMinor, toMinor } from '../units/money.ts';
import { type Cost, type Decision, type Later, OPTIONS, type Option } from './decision.ts';

/** The shop's own figures. */
export type Rates = {
  readonly currency: string;
  /** Null: not set; then labour cannot be priced. */
  readonly labourRate_per_h: number | null;
  /** Null: not set; then prices stand without tax. */
  readonly tax_percent: number | null;
};

/** One line of the sum, as a reader can check it: what, how it was reckoned, and what came out in minor units. */
export type Step = { readonly label: Message; readonly reckoning: Message; readonly minor: number };

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
  readonly notes: readonly Message[];
};

/** Parts, labour and tax of one option, step by step. Each part's line is rounded, then the tax on the sum. */
function costNow(cost: Cost, rates: Rates): { steps: Step[]; now: number | null; notes: Message[] } {
  const { currency, labourRate_per_h: rate, tax_percent } = rates;
  const amount = (minor: number): string => amountOf(minor, currency);
  const steps: Step[] = cost.parts.map(({ name, quantity, unitPrice }) => ({
    label: message('written', { text: name }),
    reckoning: message('reckoning.part', { quantity, price: amount(toMinor(unitPrice, currency)) }),
    minor: toMinor(quantity * unitPrice, currency),
  }));
  const notes: Message[] = [];
  const hours = cost.labour_h ?? 0;
  if (hours > 0 && rate === null) {
    notes.push(message('unpriced.noRate'));
    return { steps, now: null, notes };
  }
  if (hours > 0 && rate !== null) {
    const reckoning = message('reckoning.hours', { hours, rate: amount(toMinor(rate, currency)) });
    steps.push({ label: message('sum.labour'), reckoning, minor: toMinor(hours * rate, currency) });
  }
  const net = steps.reduce((sum, s) => sum + s.minor, 0);
  if (steps.length > 1) {
    const reckoning = message('reckoning.sum', { amounts: steps.map((s) => amount(s.minor)) });
    steps.push({ label: message('sum.net'), reckoning, minor: net });
  }
  if (tax_percent === null) {
    if (net > 0) notes.push(message('unpriced.noTax'));
    return { steps, now: net, notes };
  }
  const tax = Math.round(Number(((net * tax_percent) / 100).toPrecision(15)));
  if (net > 0) {
    const share = message('reckoning.share', { percent: tax_percent, amount: amount(net) });
    steps.push({ label: message('sum.tax'), reckoning: share, minor: tax });
    const reckoning = message('reckoning.sum', { amounts: [amount(net), amount(tax)] });
    steps.push({ label: message('sum.payNow'), reckoning, minor: net + tax });
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
export function optionSums(decision: Decision, rates: Rates): OptionSum[] {
  const { currency } = rates;
  const amount = (minor: number): string => amountOf(minor, currency);
  const replacement = costNow(decision.options.replace.cost, rates).now;
  const { horizon_km } = decision;
  const extra = toMinor(decision.failureExtra ?? 0, currency);
  return OPTIONS.map((option): OptionSum => {
    const { cost, later } = decision.options[option];
    const { steps, now, notes } = costNow(cost, rates);
    if (now === null) return { option, steps, now, expected: null, notes };
    if (option !== 'replace' && (replacement === null || replacement === 0)) {
      return { option, steps, now, expected: null, notes: [...notes, message('unpriced.noReplacement')] };
    }
    const price = option === 'replace' ? now : replacement!;
    const then = price + extra;
    if (!later) {
      const id = option === 'replace' ? 'unpriced.noChanceOfFailure' : 'unpriced.noChanceOfReplacement';
      notes.push(message(id, { horizon_km, low: amount(now), high: amount(now + then) }));
      return { option, steps, now, expected: null, notes };
    }
    const share = toMinor(fromMinor(later.probability * then, currency), currency);
    const expected: Step[] = [];
    if (extra > 0) {
      expected.push({
        label: message('sum.ifItComesToIt'),
        reckoning: message('reckoning.replacementAndMore', {
          replacement: amount(price),
          more: amount(extra),
        }),
        minor: then,
      });
    }
    expected.push(
      {
        label: message(`sum.chance.${later.from}`, { horizon_km }),
        reckoning: message('reckoning.share', { percent: later.probability * 100, amount: amount(then) }),
        minor: share,
      },
      {
        label: message('sum.expected'),
        reckoning: message('reckoning.sum', { amounts: [amount(now), amount(share)] }),
        minor: now + share,
      },
    );
    return { option, steps, now, expected: { steps: expected, minor: now + share, from: later.from }, notes };
  });
}

/** Fewer decisions of the shop's own than this say nothing. */
export const LEAST_HISTORY = 5;

/** The chance that the shop's own history gives, or null with the sentence that says why there is none. */
export function chanceFromHistory(history: { readonly known: number; readonly repaired: number }): {
  readonly later: Later | null;
  readonly text: Message;
} {
  const { known, repaired } = history;
  if (known < LEAST_HISTORY) {
    return { later: null, text: message('history.tooShort', { count: known, needed: LEAST_HISTORY }) };
  }
  return {
    later: { probability: repaired / known, from: 'shopHistory' },
    text: message('history.known', { repaired, known }),
  };
}
