import { describe, expect, it } from 'vitest';
import { positionsOf } from '../../seeds/road-drive/hops.ts';
import type { DrivePhase, Fault, VisitScenario } from '../../seeds/road-drive/scenario.ts';
import { bearingRates } from '../../seeds/road-drive/sources/rolling-bearing.ts';
import {
  demoReturningScenario,
  demoScenario,
  hasPart,
  RoadDrive,
  randomScenario,
  scenarioWithPlacements,
  simulateVisit,
} from '../../seeds/scenarios/index.ts';
import { VisitBundleSchema } from '../../shared/bundle/visit.ts';
import { SOURCES, type Source } from '../../shared/driveline/words.ts';
import { envelopeLine, mean, orderLevel_dB, rms, shaftAngle } from './measure.ts';
import { steady } from './steady.ts';

const quick = { sampleRate_Hz: 16_000, durationS: 4, badChannelChance: 0, tacho: false, runs: 1 };
const healthy: Fault = { source: 'none', mechanism: 'none', severity: 0 };

/** Samples of the first run in m/s². */
function accelerations(scenario: VisitScenario): Float32Array[] {
  const drive = new RoadDrive(scenario, 0);
  return drive.render(drive.frames).map((samples, i) => {
    const channel = drive.run.channels[i]!;
    return channel.role === 'vibration' ? samples.map((x) => x * channel.fullScale_m_s2!) : samples;
  });
}

describe('a simulated drive', () => {
  it('gives the same samples for the same seed and others for another', () => {
    const scenario = randomScenario(7, { ...quick, pickups: 3 });
    const [first, again] = [simulateVisit(scenario), simulateVisit(structuredClone(scenario))];
    expect(again.runs[0]!.channels).toEqual(first.runs[0]!.channels);
    expect(again.bundle).toEqual(first.bundle);
    const other = simulateVisit({ ...scenario, visitSeed: scenario.visitSeed + 1 });
    expect(other.runs[0]!.channels).not.toEqual(first.runs[0]!.channels);
  });

  it('gives the same samples in chunks of any size as in one piece', () => {
    const scenario = randomScenario(11, { ...quick, pickups: 3, tacho: true, layout: 'rwd' });
    const whole = new RoadDrive(scenario, 0);
    const expected = whole.render(whole.frames);
    const chunked = new RoadDrive(scenario, 0);
    const pieces: Float32Array[][] = [];
    for (let i = 0; ; i++) {
      const piece = chunked.render([1, 480, 4099, 17][i % 4]!);
      if (piece[0]!.length === 0) break;
      pieces.push(piece);
    }
    expected.forEach((samples, c) => {
      const joined = new Float32Array(samples.length);
      let at = 0;
      for (const piece of pieces) {
        joined.set(piece[c]!, at);
        at += piece[c]!.length;
      }
      expect(at).toBe(samples.length);
      expect(joined).toEqual(samples);
    });
  });

  it('stays finite and within full scale for every source, layout and drive', () => {
    for (const source of SOURCES) {
      for (const layout of ['fwd', 'rwd', 'awd'] as const) {
        for (const electricDrive of [false, true]) {
          if (!hasPart({ layout, electricDrive }, source)) continue;
          const options = {
            ...quick,
            source,
            layout,
            electricDrive,
            sampleRate_Hz: 8000,
            durationS: 1.5,
            pickups: 2,
          };
          const visit = simulateVisit(randomScenario(3, options));
          for (const samples of visit.runs[0]!.channels) {
            expect(samples.every((x) => Math.abs(x) <= 1)).toBe(true);
            expect(rms(samples)).toBeGreaterThan(1e-5);
          }
        }
      }
    }
  });

  it.each([8000, 44_100, 96_000])('runs at %i Hz for exactly its duration', (sampleRate_Hz) => {
    const scenario = randomScenario(14, { ...quick, sampleRate_Hz, durationS: 1.3, pickups: 2 });
    const drive = new RoadDrive(scenario, 0);
    const samples = drive.render(1_000_000)[0]!;
    expect(samples.length).toBe(Math.round(1.3 * sampleRate_Hz));
    expect(samples.every(Number.isFinite)).toBe(true);
    expect(drive.render(1000)[0]).toHaveLength(0);
  });

  it('describes itself in a valid bundle', () => {
    for (let seed = 1; seed <= 12; seed++) {
      const visit = simulateVisit(randomScenario(seed, { sampleRate_Hz: 8000, durationS: 4 }));
      const parsed = VisitBundleSchema.parse(JSON.parse(JSON.stringify(visit.bundle)));
      expect(parsed).toEqual(visit.bundle);
      expect(visit.runs.map((run) => run.channels.length)).toEqual(
        parsed.runs.map((run) => run.channels.length),
      );
      expect(Math.abs(visit.truth.circumferenceRatio - 1)).toBeLessThan(0.025);
    }
  });

  it('refuses a place that the vehicle does not have, and names those it has', () => {
    const scenario = steady(randomScenario(1, { ...quick, layout: 'fwd', source: 'none' }), [
      'differential-rear-left',
    ]);
    expect(() => new RoadDrive(scenario, 0)).toThrow(
      /fwd.*no place 'differential-rear-left'.*hub-front-left/,
    );
  });
});

describe('what sounds', () => {
  it('puts the mesh of a final drive at the ring gear tooth count times the wheel', () => {
    const base = randomScenario(5, {
      ...quick,
      source: 'differential-rear',
      mechanism: 'bothFlanks',
      severity: 0.8,
    });
    const scenario = steady(base, ['differential-rear-left'], { endSpeed_km_h: 95 });
    const teeth = scenario.vehicle.finalDrive.rear!.ringTeeth;
    const [samples] = accelerations(scenario);
    const angle = shaftAngle(new RoadDrive(scenario, 0), ['rear-left', 'rear-right']);
    const level = (order: number) => orderLevel_dB(samples!, angle, order);
    const beside = mean([-2.6, -1.7, -0.6, 0.6, 1.7, 2.6].map((d) => level(teeth + d)));
    expect(level(teeth)).toBeGreaterThan(beside + 15);
  });

  it('turns the bearing at its published rates', () => {
    // The four multiples published with the Case Western Reserve open bearing data for its drive end bearing
    // (3.585, 5.415, 2.357 spin, 0.398). Its geometry is from memory, in inches, and reproduces them; only the
    // quotient of the diameters matters. A defect on an element strikes twice a spin.
    const geometry = {
      rollingElements: 9,
      elementDiameter_mm: 0.3126,
      pitchDiameter_mm: 1.537,
      contactAngle_deg: 0,
    };
    expect(bearingRates(geometry, 'outer').blows).toBeCloseTo(3.585, 3);
    expect(bearingRates(geometry, 'inner').blows).toBeCloseTo(5.415, 3);
    expect(bearingRates(geometry, 'element').blows).toBeCloseTo(2 * 2.357, 2);
    expect(bearingRates(geometry, 'cage').blows).toBeCloseTo(0.398, 3);
  });

  it.each(['outer', 'inner'] as const)('strikes at the %s ring rate, up to two percent slow', (defect) => {
    const base = randomScenario(8, {
      ...quick,
      source: 'wheel-bearing-rear-left',
      mechanism: defect,
      severity: 0.35,
    });
    const scenario = steady(base, ['hub-rear-left']);
    const drive = new RoadDrive(scenario, 0);
    const [samples] = accelerations(scenario);
    const rate = bearingRates(scenario.vehicle.wheelBearing, defect).blows;
    const found = envelopeLine(samples!, shaftAngle(drive, ['rear-left']), rate * 0.9, rate * 1.1);
    expect(found.order / rate).toBeGreaterThan(0.975);
    expect(found.order / rate).toBeLessThan(1.005);
    expect(found.prominence_dB).toBeGreaterThan(10);
  });

  it('gets weaker with distance from the source', () => {
    const places = ['differential-rear-left', 'hub-rear-left', 'hub-front-left'];
    const levels = places.map((): number[] => []);
    for (let seed = 1; seed <= 12; seed++) {
      const base = randomScenario(seed, {
        ...quick,
        layout: 'rwd',
        electricDrive: false,
        source: 'differential-rear',
        mechanism: 'bothFlanks',
        severity: 1,
      });
      const scenario = steady(base, places, { duration_s: 3 });
      const teeth = scenario.vehicle.finalDrive.rear!.ringTeeth;
      const angle = shaftAngle(new RoadDrive(scenario, 0), ['rear-left', 'rear-right']);
      for (const [i, samples] of accelerations(scenario).entries()) {
        levels[i]!.push(orderLevel_dB(samples, angle, teeth));
      }
    }
    const [near, hub, far] = levels.map(mean);
    expect(near!).toBeGreaterThan(hub! + 2);
    expect(hub!).toBeGreaterThan(far! + 8);
  });

  it('lets a worn wheel bearing answer to the side that carries the load, and gears to torque', () => {
    const bearing = randomScenario(4, {
      ...quick,
      source: 'wheel-bearing-rear-left',
      mechanism: 'worn',
      severity: 0.8,
    });
    const level = (lateral: number) => {
      const [samples] = accelerations(steady(bearing, ['hub-rear-left'], { lateral }));
      return 20 * Math.log10(rms(samples!));
    };
    expect(level(0.9)).toBeGreaterThan(level(-0.9) + 4);

    const gear = randomScenario(4, {
      ...quick,
      source: 'differential-rear',
      mechanism: 'driveFlank',
      severity: 0.6,
    });
    const mesh = (torque: number) => {
      const scenario = steady(gear, ['differential-rear-left'], { torque });
      const angle = shaftAngle(new RoadDrive(scenario, 0), ['rear-left', 'rear-right']);
      return orderLevel_dB(accelerations(scenario)[0]!, angle, scenario.vehicle.finalDrive.rear!.ringTeeth);
    };
    expect(mesh(0.6)).toBeGreaterThan(mesh(-0.6) + 6);
    expect(mesh(-0.6)).toBeGreaterThan(mesh(0) - 10);
  });

  it('leaves the low orders of a tyre alone under torque', () => {
    const tyre = randomScenario(4, {
      ...quick,
      source: 'tyre-rear-left',
      mechanism: 'outOfRound',
      severity: 0.6,
    });
    const first = (torque: number) => {
      const scenario = steady(tyre, ['hub-rear-left'], { torque });
      const angle = shaftAngle(new RoadDrive(scenario, 0), ['rear-left']);
      return orderLevel_dB(accelerations(scenario)[0]!, angle, 1);
    };
    expect(Math.abs(first(0.7) - first(-0.5))).toBeLessThan(1);
  });

  it('raises a fault above the same healthy vehicle at the pickup beside it, for every source', () => {
    const beside: Partial<Record<Source, string>> = {
      'differential-front': 'differential-front-left',
      'differential-rear': 'differential-rear-left',
      engine: 'engine-mount',
    };
    for (const source of SOURCES) {
      if (source === 'none') continue;
      const place = beside[source] ?? source.replace(/^(wheel-bearing|tyre)/, 'hub');
      const scenario = steady(randomScenario(2, { ...quick, source, severity: 1 }), [place], {
        duration_s: 3,
      });
      const [worn] = accelerations(scenario);
      const [good] = accelerations({ ...scenario, fault: healthy });
      expect(20 * Math.log10(rms(worn!) / rms(good!)), source).toBeGreaterThan(0.2);
    }
  });
});

describe('what the technician is given', () => {
  it('reads the speed late and in whole steps', () => {
    const base = randomScenario(6, quick);
    const readings = {
      kind: 'satellite',
      rate_Hz: 5,
      lateness_s: 0.8,
      resolution_km_h: 0.1,
      scale: 1,
    } as const;
    const drive: DrivePhase[] = [
      { duration_s: 3, state: 'drive', endSpeed_km_h: 50, torque: 0.5, lateral: 0, gearRatio: 1 },
      { duration_s: 10, state: 'drive', endSpeed_km_h: 100, torque: 0.8, lateral: 0, gearRatio: 1 },
    ];
    const scenario = { ...base, runs: [{ ...base.runs[0]!, drive, readings, tacho: null }] };
    const road = new RoadDrive(scenario, 0);
    const { t_s, v_km_h } = road.run.speed!;
    const slip = 0.011;
    t_s.forEach((t, i) => {
      const rates = road.wheelRates(Math.max(0, t - 0.8));
      const wheel = mean(rates.map((rate, w) => rate * scenario.vehicle.trueCircumference_m[w]!)) * 3.6;
      expect(Math.abs(v_km_h[i]! - wheel)).toBeLessThan(0.4 + slip * wheel);
      expect(Math.abs(v_km_h[i]! * 10 - Math.round(v_km_h[i]! * 10))).toBeLessThan(1e-6);
    });
  });

  it('counts the turns of the shaft on a tacho channel', () => {
    const base = steady(randomScenario(9, { ...quick, layout: 'rwd' }), ['hub-rear-left']);
    const tacho = {
      shaft: 'wheel-rear-left',
      pulsesPerRev: 4,
      jitter: 0.002,
      missing: 0,
      doubled: 0,
    } as const;
    const scenario = { ...base, runs: [{ ...base.runs[0]!, tacho, readings: null }] };
    const drive = new RoadDrive(scenario, 0);
    const pulses = drive.render(drive.frames)[1]!;
    let edges = 0;
    for (let i = 1; i < pulses.length; i++) if (pulses[i - 1]! < 0.3 && pulses[i]! >= 0.3) edges++;
    const turns = shaftAngle(new RoadDrive(scenario, 0), ['rear-left']).at(-1)!;
    expect(Math.abs(edges - 4 * turns)).toBeLessThanOrEqual(1.5);
    expect(drive.run.speed).toBeNull();
  });

  it('spoils a channel in the way asked for and leaves the others as they were', () => {
    const scenario = randomScenario(12, { ...quick, pickups: 4, layout: 'rwd' });
    const spoilt = (fault: 'dead' | 'clipped' | 'loose' | 'hum') =>
      simulateVisit({ ...scenario, runs: [{ ...scenario.runs[0]!, badChannels: { 1: fault } }] });
    const good = simulateVisit(scenario).runs[0]!.channels;
    for (const fault of ['dead', 'clipped', 'loose', 'hum'] as const) {
      const visit = spoilt(fault);
      expect(visit.truth.runs[0]!.badChannels).toEqual({ 2: fault });
      const channels = visit.runs[0]!.channels;
      expect(channels[0]).toEqual(good[0]);
      expect(channels[2]).toEqual(good[2]);
      expect(channels[1]).not.toEqual(good[1]);
    }
    expect(rms(spoilt('dead').runs[0]!.channels[1]!)).toBeLessThan(1e-5);
    const clipped = spoilt('clipped').runs[0]!.channels[1]!;
    expect(clipped.filter((x) => Math.abs(x) === 1).length / clipped.length).toBeGreaterThan(1e-4);
  });

  it('drives the same vehicle again with other placements', () => {
    const scenario = randomScenario(13, {
      ...quick,
      runs: 2,
      pickups: 2,
      layout: 'awd',
      electricDrive: false,
    });
    const first = scenario.runs[0]!.placement;
    const extended = scenarioWithPlacements(scenario, [
      first,
      ['transmission', 'hub-rear-left'],
      ['transfer-case'],
    ]);
    expect(extended.runs.map((run) => run.placement.length)).toEqual([first.length, 2, 1]);
    const before = new RoadDrive(scenario, 0);
    const after = new RoadDrive(extended, 0);
    expect(after.render(8000)).toEqual(before.render(8000));
    expect(extended.fault).toEqual(scenario.fault);
    // Clamped anew at the same place in another run: the gain differs.
    const twice = scenarioWithPlacements({ ...scenario, runs: [scenario.runs[0]!] }, [first, first]);
    const ratio =
      rms(new RoadDrive(twice, 0).render(32_000)[0]!) / rms(new RoadDrive(twice, 1).render(32_000)[0]!);
    expect(Math.abs(20 * Math.log10(ratio))).toBeGreaterThan(0.05);
  });

  it('knows only places that exist', () => {
    const places = (layout: 'fwd' | 'rwd' | 'awd') =>
      positionsOf(randomScenario(1, { layout, electricDrive: false, source: 'none' }).vehicle);
    expect(places('fwd')).not.toContain('propshaft-centre-bearing');
    expect(places('rwd')).not.toContain('transfer-case');
    expect(places('awd')).toHaveLength(14);
  });
});

describe('the demo car', () => {
  it('is heard at both rear hubs, loudest beside the differential, and louder when it returns', () => {
    const shorten = (scenario: VisitScenario): VisitScenario => ({
      ...scenario,
      sampleRate_Hz: 8000,
      runs: [{ ...scenario.runs[0]!, drive: [{ ...scenario.runs[0]!.drive[5]!, duration_s: 8 }] }],
    });
    const mesh = (scenario: VisitScenario) => {
      const angle = shaftAngle(new RoadDrive(scenario, 0), ['rear-left', 'rear-right']);
      return accelerations(scenario).map((samples) => orderLevel_dB(samples, angle, 41));
    };
    const now = mesh(shorten(demoScenario()));
    const place = (name: string) => now[demoScenario().runs[0]!.placement.indexOf(name)]!;
    expect(Math.min(place('hub-rear-left'), place('hub-rear-right'))).toBeGreaterThan(
      place('hub-front-left') + 6,
    );
    expect(Math.max(...now)).toBe(
      Math.max(place('differential-rear-left'), place('differential-rear-right')),
    );
    const later = mesh(shorten(demoReturningScenario(1)));
    expect(mean(later.slice(2, 6)) - mean(now.slice(2, 6))).toBeGreaterThan(2);
    expect(demoReturningScenario(1).vehicle.odometer_km).toBeGreaterThan(
      demoScenario().vehicle.odometer_km + 10_000,
    );
  });
});
