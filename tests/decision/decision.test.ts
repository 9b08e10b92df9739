import { describe, expect, it } from 'vitest';
import { adviceOn } from '../../shared/decision/advice.ts';
import { chanceFromHistory, optionSums, type Rates } from '../../shared/decision/arithmetic.ts';
import { type Decision, DecisionSchema, emptyDecision } from '../../shared/decision/decision.ts';
import type { InspectionFindings } from '../../shared/diagnosis/inspection.ts';
import { messageIn } from '../../shared/messages/as-text.ts';
import { english } from '../../shared/messages/tell.ts';
import { fromMinor, minorDigits, moneyText } from '../../shared/units/money.ts';

const RATES: Rates = { currency: 'EUR', labourRate_per_h: 95, tax_percent: 19 };

/** A rear differential to be replaced, or its fluid changed and watched. */
function example(): Decision {
  const decision = emptyDecision();
  decision.source = 'differential-rear';
  decision.failureExtra = 400;
  decision.options.replace.cost = {
    parts: [
      { name: 'Rear differential, overhauled', quantity: 1, unitPrice: 1480 },
      { name: 'Fluid', quantity: 1.1, unitPrice: 18.9 },
    ],
    labour_h: 4.5,
  };
  decision.options.watch = {
    cost: { parts: [{ name: 'Fluid', quantity: 1.1, unitPrice: 18.9 }], labour_h: 0.8 },
    later: { probability: 0.3, from: 'technician' },
  };
  return decision;
}

const sumOf = (decision: Decision, option: string, rates = RATES) =>
  optionSums(decision, rates).find((s) => s.option === option)!;

describe('what an option costs', () => {
  it('adds up by hand, step by step', () => {
    // 1480.00 + 1.1 × 18.90 = 20.79 + 4.5 × 95.00 = 427.50 are 1928.29; 19 % are 366.3751; together 2294.67.
    const { steps, now } = sumOf(example(), 'replace');
    expect(steps.map((s) => [english(s.label), s.minor])).toEqual([
      ['Rear differential, overhauled', 148_000],
      ['Fluid', 2_079],
      ['Labour', 42_750],
      ['Net', 192_829],
      ['Tax', 36_638],
      ['To be paid now', 229_467],
    ]);
    expect(now).toBe(229_467);
    expect(english(steps[1]!.reckoning)).toBe('1.1 × €18.90');
    expect(english(steps[4]!.reckoning)).toBe('19 % of €1,928.29');
  });

  it('expects, over the horizon, the price now and the chance of the rest', () => {
    // (20.79 + 0.8 × 95.00) × 1.19 = 115.18; 30 % of (2294.67 + 400.00) are 808.40; together 923.58.
    const { now, expected } = sumOf(example(), 'watch');
    expect(now).toBe(11_518);
    expect(expected).toMatchObject({ minor: 92_358, from: 'technician' });
    expect(expected!.steps.map((s) => s.minor)).toEqual([269_467, 80_840, 92_358]);
    expect(english(expected!.steps[1]!.label)).toContain('the technician’s own estimate');
  });

  it('invents no chance: without one it gives the two ends and says why', () => {
    const { expected, notes } = sumOf(example(), 'nothing');
    expect(expected).toBeNull();
    expect(notes.map(english).join()).toMatch(
      /no history of it: the cost lies between €0\.00 and €2,694\.67/,
    );
  });

  it('has no price where the labour rate is not set, and says when tax is left out', () => {
    const noRate = sumOf(example(), 'replace', { ...RATES, labourRate_per_h: null });
    expect(noRate).toMatchObject({ now: null, expected: null });
    expect(noRate.notes.map(english).join()).toContain('labour rate is not set');
    const noTax = sumOf(example(), 'replace', { ...RATES, tax_percent: null });
    expect(noTax.now).toBe(192_829);
    expect(noTax.notes.map(english).join()).toContain('tax is not set');
  });

  it('counts in the currency’s own smallest unit', () => {
    const yen = sumOf(example(), 'replace', { currency: 'JPY', labourRate_per_h: 9500, tax_percent: 10 });
    // 1480 + 21 + 42750 = 44251, tax 4425 (44251 × 10 % = 4425.1).
    expect(yen.now).toBe(48_676);
    expect(minorDigits('JPY')).toBe(0);
    expect(fromMinor(48_676, 'JPY')).toBe(48_676);
    expect(moneyText(48_676, 'JPY')).toBe('¥48,676');
  });

  it('adds to the last cent: the total is the sum of the lines shown', () => {
    for (const price of [0.005, 0.105, 1.115, 33.335, 999.995]) {
      const decision = emptyDecision();
      decision.options.replace.cost = {
        parts: Array.from({ length: 7 }, (_, i) => ({ name: `part ${i}`, quantity: 3, unitPrice: price })),
        labour_h: 0.7,
      };
      const { steps, now } = sumOf(decision, 'replace');
      const lines = steps.filter(
        (s) => s.label.id === 'written' || s.label.id === 'sum.labour' || s.label.id === 'sum.tax',
      );
      expect(lines.reduce((sum, s) => sum + s.minor, 0)).toBe(now);
    }
  });
});

describe('the shop’s own history', () => {
  it('says nothing from fewer than five known ends', () => {
    expect(chanceFromHistory({ known: 0, repaired: 0 })).toMatchObject({ later: null });
    expect(english(chanceFromHistory({ known: 4, repaired: 1 }).text)).toContain('only 4');
    expect(chanceFromHistory({ known: 8, repaired: 2 }).later).toEqual({
      probability: 0.25,
      from: 'shopHistory',
    });
  });
});

const inspection = (
  wheels: InspectionFindings['wheels'] = [],
  debris: 'clean' | 'finePaste' | 'flakes' | 'chips' | null = null,
): InspectionFindings => ({
  wheels,
  units: [
    {
      unit: 'differential-rear',
      debris,
      drained_l: null,
      refilled_l: null,
      fillPlugOpenedFirst: null,
      fillPlug: { wanted_Nm: null, done_Nm: null },
      drainPlug: { wanted_Nm: null, done_Nm: null },
    },
  ],
});
const wheel = (play: 'none' | 'slight' | 'clear' | null) =>
  [{ wheel: 'rear-left', play, drag: null, tyreWear: null }] as const;

describe('which options stand', () => {
  const fits = (grounds: Parameters<typeof adviceOn>[0]) =>
    Object.fromEntries(adviceOn(grounds).options.map((o) => [o.option, o.offered ? o.fits : 'notOffered']));
  const at = { verdict: 'pinpointed', source: 'differential-rear', levelHasRisen: false } as const;

  it('watching fits with fine debris, no play and a level that has not risen', () => {
    expect(fits({ ...at, inspection: inspection(wheel('none'), 'finePaste') })).toEqual({
      replace: 'yes',
      watch: 'yes',
      test: 'notKnown',
      nothing: 'notKnown',
    });
  });

  it.each([
    ['flakes', inspection(wheel('none'), 'flakes'), false],
    ['a level that has risen', inspection(wheel('none'), 'finePaste'), true],
  ])('%s speak against watching, but do not forbid it', (_, found, levelHasRisen) => {
    expect(fits({ ...at, levelHasRisen, inspection: found })).toMatchObject({
      watch: 'advisedAgainst',
      nothing: 'advisedAgainst',
    });
  });

  it.each([
    ['chips', inspection([], 'chips')],
    ['play', inspection(wheel('clear'), 'clean')],
  ])('%s stop the vehicle: neither watching nor doing nothing is offered', (_, found) => {
    const advice = adviceOn({ ...at, inspection: found });
    expect(english(advice.stops[0]!.text)).toContain('do not drive');
    expect(fits({ ...at, inspection: found })).toMatchObject({ watch: 'notOffered', nothing: 'notOffered' });
  });

  it('what nobody has looked at stays unknown, and is said', () => {
    const advice = adviceOn({ ...at, levelHasRisen: null, inspection: inspection() });
    const watch = advice.options.find((o) => o.option === 'watch')!;
    expect(watch.fits).toBe('notKnown');
    expect(watch.risk.map(english).join(' ')).toMatch(/drain plug yet.*no earlier visit/);
  });

  it('a part that is not proved may be bought in vain', () => {
    const advice = adviceOn({ ...at, verdict: 'narrowed', inspection: inspection() });
    expect(advice.options[0]!.risk.map(english).join()).toContain('in vain');
    expect(advice.options.find((o) => o.option === 'test')!.fits).toBe('yes');
  });
});

describe('the form', () => {
  it.each([
    ['options.watch.later.probability', (d: Decision) => (d.options.watch.later!.probability = 1.2)],
    [
      'options.replace.cost.parts.0.quantity',
      (d: Decision) => (d.options.replace.cost.parts[0]!.quantity = -1),
    ],
    ['options.replace.cost.parts.0.name', (d: Decision) => (d.options.replace.cost.parts[0]!.name = '  ')],
    ['horizon_km', (d: Decision) => (d.horizon_km = 0)],
    ['nextCheck.date', (d: Decision) => (d.nextCheck.date = '2026-02-30')],
  ])('refuses nonsense at %s', (field, spoil) => {
    const decision = example();
    spoil(decision);
    const [issue] = DecisionSchema.safeParse(decision).error!.issues;
    expect(issue!.path.join('.')).toBe(field);
    expect(english(messageIn(issue!.message))).toMatch(/^[A-Z].*\.$/);
  });
});
