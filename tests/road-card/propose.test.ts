import { describe, expect, it } from 'vitest';
import { english, teller } from '../../shared/messages/tell.ts';
import { ManoeuvreSchema } from '../../shared/road-card/manoeuvre.ts';
import { proposeRoadCard, type RoadCardWishes, speedsToHold } from '../../shared/road-card/propose.ts';
import { emptyIntake, type HeardWhen } from '../../shared/visit-work/intake.ts';

const heard = (change: Partial<HeardWhen> = {}): HeardWhen => ({ ...emptyIntake().heard, ...change });
const wishes = (change: Partial<RoadCardWishes> = {}): RoadCardWishes => ({
  heard: heard(),
  layout: 'rwd',
  electricDrive: false,
  open: null,
  neutralAllowed: false,
  limit_km_h: 100,
  ...change,
});
const kinds = (w: RoadCardWishes) => new Set(proposeRoadCard(w).manoeuvres.map((m) => m.kind));

describe('the road card', () => {
  it('drives where the owner hears it, within the limit', () => {
    expect(speedsToHold(heard({ speedFrom_km_h: 70, speedTo_km_h: 90 }), 130)).toEqual([80, 60, 100]);
    expect(speedsToHold(heard({ speedFrom_km_h: 70, speedTo_km_h: 90 }), 80)).toEqual([80, 60]);
    expect(speedsToHold(heard({ speedFrom_km_h: 110 }), 50)).toEqual([50, 30]);
    for (const limit_km_h of [20, 30, 45, 50, 90]) {
      for (const m of proposeRoadCard(wishes({ limit_km_h, neutralAllowed: true })).manoeuvres) {
        expect(Math.max(m.speed_km_h, m.endSpeed_km_h)).toBeLessThanOrEqual(limit_km_h);
        expect(ManoeuvreSchema.safeParse(m).error).toBeUndefined();
      }
    }
  });

  it('asks for everything while nothing is known', () => {
    expect(kinds(wishes())).toEqual(
      new Set(['steady', 'drive', 'coast', 'float', 'swayLeft', 'swayRight', 'otherGear']),
    );
  });

  it('separates what the measurement leaves open, and nothing else', () => {
    const left = [
      { source: 'wheel-bearing-rear-left', probability: 0.6 },
      { source: 'tyre-rear-left', probability: 0.38 },
      { source: 'differential-rear', probability: 0.02 },
    ] as const;
    expect(kinds(wishes({ open: left }))).toEqual(new Set(['steady', 'swayLeft', 'swayRight']));
    const gear = [
      { source: 'differential-rear', probability: 0.7 },
      { source: 'transmission', probability: 0.3 },
    ] as const;
    expect(kinds(wishes({ open: gear }))).toEqual(
      new Set(['steady', 'drive', 'coast', 'float', 'otherGear']),
    );
  });

  it('offers the neutral coast-down only where it was said to be lawful and safe, with its cautions', () => {
    const card = proposeRoadCard(wishes({ neutralAllowed: true }));
    const neutral = card.manoeuvres.find((m) => m.kind === 'neutralCoast')!;
    expect(neutral.cautions.map(english).join(' ')).toContain('lawful');
    expect(kinds(wishes({ neutralAllowed: true, electricDrive: true })).has('neutralCoast')).toBe(false);
  });

  it('names the sway by the side that is loaded and tells the driver the other way', () => {
    const left = proposeRoadCard(wishes()).manoeuvres.find((m) => m.state === 'swayLeft')!;
    expect(english(left.say)).toContain('to the right');
    expect(english(left.title)).toContain('load on the left');
  });

  it('speaks whole units and in miles where the shop does', () => {
    const inMiles = teller('en', 'imperial');
    const card = proposeRoadCard(wishes());
    expect(inMiles(card.manoeuvres[0]!.say)).toMatch(/^Hold \d+ miles an hour/);
    for (const m of card.manoeuvres) expect(inMiles(m.say)).not.toMatch(/km\/h|mph/);
  });

  it('has one id for each manoeuvre', () => {
    for (const limit_km_h of [20, 30, 50, 80, 130]) {
      const ids = proposeRoadCard(wishes({ limit_km_h, neutralAllowed: true })).manoeuvres.map((m) => m.id);
      expect(new Set(ids).size).toBe(ids.length);
    }
  });
});
