import { describe, expect, it } from 'vitest';
import { english } from '../../shared/messages/tell.ts';
import { CAUTIONS, cautionsFor } from '../../shared/visit-work/cautions.ts';
import { emptyInspection } from '../../shared/visit-work/inspection.ts';
import { emptyIntake } from '../../shared/visit-work/intake.ts';
import { remindersOf, type VisitSoFar } from '../../shared/visit-work/reminders.ts';
import { emptyRigging } from '../../shared/visit-work/rigging.ts';

const visit = (change: Partial<VisitSoFar> = {}): VisitSoFar => ({
  intake: emptyIntake(),
  rigging: emptyRigging(),
  checks: [],
  roadMissing: null,
  runs: 0,
  inspection: emptyInspection(),
  decision: { chosen: null, nextCheck: false },
  skipped: [],
  calibrated: [],
  earlierOdometer_km: null,
  at: new Date('2026-11-25T10:00:00Z'),
  ...change,
});
const texts = (change: Partial<VisitSoFar>) =>
  remindersOf(visit(change))
    .map((r) => `${r.weight} ${r.step}: ${english(r.text)}`)
    .join('\n');

const rigging = (ticked: ReturnType<typeof cautionsFor> = []) => ({
  ...emptyRigging(),
  channels: [1, 2].map((channel) => ({
    channel,
    position: `hub-rear-${channel === 1 ? 'left' : 'right'}`,
    pickup: null,
    relative: false,
  })),
  cautionsTicked: ticked,
});

describe('reminders', () => {
  it('put safety first, then the proof, then what helps', () => {
    const weights = remindersOf(
      visit({ rigging: rigging(), skipped: ['inspection', 'report'], runs: 1 }),
    ).map((r) => r.weight);
    const order = ['safety', 'proof', 'help'];
    expect(weights.map((w) => order.indexOf(w))).toEqual(weights.map((w) => order.indexOf(w)).sort());
    expect(new Set(weights).size).toBe(3);
  });

  it('the cautions to tick know whether there is high voltage', () => {
    expect(cautionsFor(false)).not.toContain('highVoltage');
    expect(cautionsFor(true)).toContain('highVoltage');
    expect(cautionsFor(null)).toEqual([...CAUTIONS]);
    expect(texts({ rigging: rigging() })).toContain(`7 of 7 cautions are not ticked`);
    expect(texts({ rigging: rigging(cautionsFor(null)) })).not.toContain('cautions');
  });

  it('every channel wants its tap, and a wrong answer is told until it is put right', () => {
    expect(texts({ rigging: rigging() })).toContain('Not tapped yet: channels 1, 2');
    const wrong = { check: 'tap', verdict: 'other', channel: 1 };
    const right = { check: 'tap', verdict: 'right', channel: 1 };
    expect(texts({ rigging: rigging(), checks: [wrong, right] })).toContain('swap the leads of channel 1');
    // Newest first: the right answer came after the wrong one.
    expect(texts({ rigging: rigging(), checks: [right, wrong] })).not.toContain('swap the leads');
    expect(texts({ rigging: rigging(), checks: [right, wrong] })).toContain('Not tapped yet: channel 2');
  });

  it('what cannot be compared with another visit is told', () => {
    expect(texts({ rigging: rigging(), calibrated: [1] })).toContain('Relative levels on channel 2');
    expect(texts({ runs: 1 })).toContain('growth over distance will not be known');
    expect(texts({ decision: { chosen: 'watch', nextCheck: false } })).toContain('a date or a mileage');
    expect(texts({ decision: { chosen: 'watch', nextCheck: true } })).not.toContain('a date or a mileage');
  });

  it('tyres that explain a noise are told before the drive', () => {
    const intake = emptyIntake();
    intake.tyres.wheels['rear-left'].pressure_kPa = 180;
    intake.tyres.wheels['rear-right'].pressure_kPa = 230;
    intake.tyres.wheels['front-left'].madeIn = '1012';
    expect(texts({ intake })).toMatch(/rear tyres differ by 50 kPa/);
    expect(texts({ intake })).toMatch(/safety intake: Tyres of more than 10 years: front left/);
  });
});
