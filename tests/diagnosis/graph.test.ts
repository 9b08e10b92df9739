import { describe, expect, it } from 'vitest';
import { possibleSources, runningGearNet, usefulPositions } from '../../shared/diagnosis/graph.ts';
import { travelLoss } from '../../shared/diagnosis/travel.ts';
import { POSITIONS, SOURCES } from '../../shared/driveline/words.ts';

const combustion = (layout: 'fwd' | 'rwd' | 'awd') => ({ layout, electricDrive: false });

describe('the net of the running gear', () => {
  it('puts the hubs on either side of an axle equally far from its differential', () => {
    const net = runningGearNet(combustion('rwd'));
    const left = net.path('differential-rear', 'hub-rear-left').hops;
    expect(net.path('differential-rear', 'hub-rear-right').hops).toBe(left);
    expect(net.path('differential-rear', 'hub-front-left').hops).toBeGreaterThan(left);
  });

  it('has a pickup on a part only where it touches that part', () => {
    const net = runningGearNet(combustion('awd'));
    expect(net.isOn('wheel-bearing-rear-left', 'hub-rear-left')).toBe(true);
    expect(net.isOn('differential-rear', 'differential-rear-pinion')).toBe(true);
    expect(net.isOn('differential-rear', 'hub-rear-left')).toBe(false);
    expect(net.isOn('wheel-bearing-rear-left', 'hub-rear-right')).toBe(false);
    expect(net.isOn('engine', 'engine-mount')).toBe(true);
    expect(net.isOn('none', 'hub-rear-left')).toBe(false);
  });

  it('reaches every place that a vehicle has from every part that it has', () => {
    for (const layout of ['fwd', 'rwd', 'awd'] as const) {
      for (const electricDrive of [false, true]) {
        const net = runningGearNet({ layout, electricDrive });
        for (const source of possibleSources({ layout, electricDrive })) {
          for (const position of usefulPositions({ layout, electricDrive })) {
            expect(POSITIONS as readonly string[]).toContain(position);
            expect(net.path(source, position).hops, `${source} to ${position}`).toBeLessThan(6);
          }
        }
      }
    }
  });

  it('knows no part that the layout lacks', () => {
    expect(possibleSources(combustion('fwd'))).not.toContain('differential-rear');
    expect(possibleSources(combustion('rwd'))).not.toContain('differential-front');
    expect(possibleSources({ layout: 'rwd', electricDrive: true })).not.toContain('engine');
    expect([...possibleSources(combustion('awd'))].sort()).toEqual([...SOURCES].sort());
  });

  it('takes a place of the user’s own for near what its name says, and says how unsure that is', () => {
    const net = runningGearNet(combustion('awd'));
    const strut = net.path('wheel-bearing-front-left', 'strut-front-left');
    expect(strut.hops).toBeLessThan(net.path('wheel-bearing-front-left', 'hub-front-right').hops);
    expect(strut.hopsSd).toBeGreaterThan(0);
    const nowhere = net.path('wheel-bearing-front-left', 'somewhere');
    expect(nowhere.hopsSd).toBeGreaterThan(strut.hopsSd);
    expect(net.isOn('wheel-bearing-front-left', 'strut-front-left')).toBe(false);
  });

  it('loses more on longer ways and at higher notes, and never everything', () => {
    const near = travelLoss({ hops: 1, hopsSd: 0 }, 7, 'mid');
    const far = travelLoss({ hops: 3, hopsSd: 0 }, 7, 'mid');
    expect(far.loss_db).toBeGreaterThan(near.loss_db);
    expect(far.sd_db).toBeGreaterThan(near.sd_db);
    expect(travelLoss({ hops: 1, hopsSd: 0 }, 7, 'top').loss_db).toBeGreaterThan(near.loss_db);
    expect(travelLoss({ hops: 20, hopsSd: 0 }, 11, 'top').loss_db).toBeLessThanOrEqual(45);
  });
});
