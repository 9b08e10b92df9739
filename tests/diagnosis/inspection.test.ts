import { describe, expect, it } from 'vitest';
import {
  hardStops,
  type InspectionFindings,
  inspectionDoubts,
  inspectionEvidence,
  inspectionWeights,
  type UnitFinding,
  withInspection,
} from '../../shared/diagnosis/inspection.ts';
import { SOURCES, type Source } from '../../shared/driveline/words.ts';
import { english } from '../../shared/messages/tell.ts';

const unit = (finding: Partial<UnitFinding>): UnitFinding => ({
  unit: 'differential-rear',
  debris: null,
  drained_l: null,
  refilled_l: null,
  fillPlugOpenedFirst: null,
  fillPlug: { wanted_Nm: null, done_Nm: null },
  drainPlug: { wanted_Nm: null, done_Nm: null },
  ...finding,
});
const nothing: InspectionFindings = { wheels: [], units: [] };
const even = (): Map<Source, number> => new Map(SOURCES.map((s) => [s, 1 / SOURCES.length]));

describe('weights of the inspection', () => {
  it('nothing looked at weighs nothing', () => {
    const wheels = [{ wheel: 'rear-left', play: null, drag: null, tyreWear: null }] as const;
    expect(inspectionWeights({ wheels, units: [unit({})] })).toEqual([]);
    expect(withInspection(even(), nothing)).toEqual(even());
  });

  it('multiplies the odds by what it states', () => {
    const found: InspectionFindings = { ...nothing, units: [unit({ debris: 'flakes' })] };
    const [weight] = inspectionWeights(found);
    expect(weight).toMatchObject({ source: 'differential-rear', position: 'differential-rear' });
    expect(english(weight!.text)).toContain(`weight ${weight!.logOdds.toFixed(1)}`);
    const before = even();
    const after = withInspection(before, found);
    const odds = (p: Map<Source, number>) => p.get('differential-rear')! / p.get('tyre-rear-left')!;
    expect(Math.log(odds(after) / odds(before))).toBeCloseTo(weight!.logOdds, 12);
    expect([...after.values()].reduce((a, b) => a + b, 0)).toBeCloseTo(1, 12);
  });

  it('no single finding settles a source by itself: 0.95 is out of reach from even odds over four corners', () => {
    const singles: InspectionFindings[] = [
      { wheels: [{ wheel: 'front-left', play: 'clear', drag: null, tyreWear: null }], units: [] },
      { wheels: [{ wheel: 'front-left', play: null, drag: 'rough', tyreWear: null }], units: [] },
      { wheels: [{ wheel: 'front-left', play: null, drag: null, tyreWear: 'cupped' }], units: [] },
      { wheels: [], units: [unit({ debris: 'chips' })] },
    ];
    for (const single of singles) {
      expect(Math.max(...withInspection(even(), single).values())).toBeLessThan(0.95);
    }
  });

  it('fine paste is normal wear: it says nothing either way', () => {
    const found: InspectionFindings = { ...nothing, units: [unit({ debris: 'finePaste' })] };
    expect(withInspection(even(), found).get('differential-rear')).toBeCloseTo(1 / SOURCES.length, 12);
    expect(english(inspectionEvidence(found, 'differential-rear')[0]!.text)).toContain(
      'nothing for or against',
    );
  });

  it('coarser debris weighs more, and a part that was ruled out stays so', () => {
    const order = (['clean', 'finePaste', 'flakes', 'chips'] as const).map(
      (debris) => inspectionWeights({ ...nothing, units: [unit({ debris })] })[0]!.logOdds,
    );
    expect(order).toEqual([...order].sort((a, b) => a - b));
    const without = even();
    without.set('differential-rear', 0);
    const after = withInspection(without, { ...nothing, units: [unit({ debris: 'chips' })] });
    expect(after.get('differential-rear')).toBe(0);
  });
});

describe('hard stops and doubts', () => {
  it('play and chips stop the vehicle; slight play and flakes do not', () => {
    const wheels = (['clear', 'slight'] as const).map((play, i) => ({
      wheel: (['rear-left', 'rear-right'] as const)[i]!,
      play,
      drag: null,
      tyreWear: null,
    }));
    const units = [unit({ debris: 'chips' }), unit({ unit: 'transmission', debris: 'flakes' })];
    expect(hardStops({ wheels, units }).map((s) => s.position)).toEqual([
      'hub-rear-left',
      'differential-rear',
    ]);
  });

  it.each<[string, Partial<UnitFinding>, RegExp | null]>([
    ['as much in as out', { drained_l: 1.1, refilled_l: 1.08, fillPlugOpenedFirst: true }, null],
    ['less in than out', { drained_l: 1.1, refilled_l: 0.8, fillPlugOpenedFirst: true }, /0\.30 l less/],
    ['more in than out', { drained_l: 0.9, refilled_l: 1.1, fillPlugOpenedFirst: true }, /0\.20 l more/],
    ['nothing in again', { drained_l: 1.1, fillPlugOpenedFirst: true }, /do not drive without it/],
    [
      'drained first',
      { drained_l: 1, refilled_l: 1, fillPlugOpenedFirst: false },
      /fill plug is opened before/,
    ],
    ['torque right', { drainPlug: { wanted_Nm: 35, done_Nm: 36 } }, null],
    ['torque wrong', { drainPlug: { wanted_Nm: 35, done_Nm: 50 } }, /its maker wants 35 Nm/],
    ['torque from nowhere', { fillPlug: { wanted_Nm: null, done_Nm: 40 } }, /not from the maker/],
  ])('%s', (_, finding, doubt) => {
    const doubts = inspectionDoubts({ wheels: [], units: [unit(finding)] });
    if (doubt === null) expect(doubts).toEqual([]);
    else expect(english(doubts[0]!.text)).toMatch(doubt);
  });
});
