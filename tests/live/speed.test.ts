import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import { openGarage } from '../../db/open.ts';
import { exportBundle } from '../../electron/bundles/export-bundle.ts';
import { GearInUse } from '../../electron/live/gear-in-use.ts';
import { LiveSession } from '../../electron/live/live-session.ts';
import { SpeedInput } from '../../electron/live/speed-input.ts';
import { RecordingsFolder } from '../../electron/recording/recordings-folder.ts';
import { newRecording, startRun } from '../../electron/service/start-run.ts';
import type { CaptureListener, CaptureSource } from '../../native/capture/capture-source.ts';
import { parseVisitBundle, type VehicleSpec } from '../../shared/bundle/visit.ts';
import type { LiveState } from '../../shared/contract/live.ts';
import type { AppEvent } from '../../shared/contract/requests.ts';
import { temporaryFolder } from '../db/temporary.ts';

describe('which speed counts', () => {
  const now_s = 100;
  const speed = () => new SpeedInput();

  it('takes a tacho before a satellite, that before the bus, and that before the hand', () => {
    const input = speed();
    input.set(40);
    expect(input.read(now_s)).toMatchObject({ from: 'hand', km_h: 40 });
    input.setReading('bus', 51, now_s);
    expect(input.read(now_s)).toMatchObject({ from: 'bus', km_h: 51 });
    input.setReading('satellite', 50.2, now_s);
    expect(input.read(now_s)).toMatchObject({ from: 'satellite', km_h: 50.2 });
    input.setTacho(50.4);
    expect(input.read(now_s)).toMatchObject({ from: 'tacho', km_h: 50.4 });
  });

  it('goes on with the next one when one has said nothing for three seconds', () => {
    const input = speed();
    input.setReading('satellite', 50, now_s);
    input.setReading('bus', 51, now_s + 2);
    input.setEngine(2000, now_s);
    expect(input.read(now_s + 3).from).toBe('satellite');
    expect(input.read(now_s + 3.1).from).toBe('bus');
    expect(input.read(now_s + 6).from).toBe('hand');
    expect(input.engine_rpm(now_s + 3)).toBe(2000);
    expect(input.engine_rpm(now_s + 3.1)).toBeNull();
  });

  // A value rounded to whole numbers has the standard deviation 1/√12 (uniform distribution).
  it('knows that a whole km/h is coarse at low speed', () => {
    const input = speed();
    input.setReading('bus', 10, now_s);
    expect(input.read(now_s).relativeError).toBeCloseTo(Math.hypot(0.015, 0.1 / Math.sqrt(12)), 12);
  });
});

/** 205/55R16 by π times its diameter; final drive 41 : 11. */
const vehicle: VehicleSpec = {
  label: 'test car',
  layout: 'fwd',
  rollingCircumference_m: 1.985,
  finalDrive: { front: { ringTeeth: 41, pinionTeeth: 11 } },
  engine: { cylinders: 4 },
};
/** Engine speed in a gear, worked from the wheel up. */
const rpmAt = (km_h: number, gear: number): number => (km_h / 3.6 / 1.985) * (41 / 11) * gear * 60;

describe('the gear in use', () => {
  const drive = (gear: GearInUse, from_s: number, to_s: number, at: (t: number) => [number, number]) => {
    let ratio: number | null = null;
    for (let t = from_s; t < to_s; t += 0.2) {
      const [km_h, rpm] = at(t);
      gear.push(Math.round(km_h), rpm, t);
      ratio = gear.ratio(t);
    }
    return ratio;
  };

  it('follows from engine and road speed, read in whole km/h', () => {
    for (const ratio of [3.6, 1.95, 1.28, 0.97, 0.82, 0.68]) {
      const found = drive(new GearInUse(vehicle), 0, 3, () => [70, rpmAt(70, ratio)]);
      expect(found! / ratio).toBeCloseTo(1, 2);
    }
  });

  it('is unknown between gears and found anew in the next', () => {
    const gear = new GearInUse(vehicle);
    expect(drive(gear, 0, 3, () => [70, rpmAt(70, 0.97)])).toBeCloseTo(0.97, 2);
    expect(drive(gear, 3, 4.5, (t) => [70, rpmAt(70, 0.97) * (1 - 0.3 * (t - 3))])).toBeNull();
    expect(drive(gear, 4.5, 8, () => [70, rpmAt(70, 0.68)])).toBeCloseTo(0.68, 2);
  });

  it('stays while the car gathers speed in it', () => {
    const gear = new GearInUse(vehicle);
    const first = drive(gear, 0, 3, () => [60, rpmAt(60, 1.28)]);
    // 1 m/s² with the engine speed read 0.2 s after the road speed.
    expect(drive(gear, 3, 8, (t) => [60 + 3.6 * (t - 3), rpmAt(60 + 3.6 * (t - 2.8), 1.28)])).toBe(first);
  });

  it('is none at idle with the clutch open, without a final drive, and for an electric car', () => {
    expect(drive(new GearInUse(vehicle), 0, 3, () => [80, 800])).toBeNull();
    const unknown = new GearInUse({ ...vehicle, finalDrive: null });
    expect(drive(unknown, 0, 3, () => [70, rpmAt(70, 1)])).toBeNull();
    const electric = new GearInUse({ ...vehicle, electricDrive: true });
    expect(drive(electric, 0, 3, () => [70, rpmAt(70, 1)])).toBeNull();
    expect(new GearInUse(null).ratio(0)).toBeNull();
  });

  it('is forgotten when the readings cease', () => {
    const gear = new GearInUse(vehicle);
    expect(drive(gear, 0, 3, () => [70, rpmAt(70, 1)])).not.toBeNull();
    expect(gear.ratio(6)).toBeNull();
  });
});

const RATE = 48_000;
const FRAMES = 480;

/** Ten milliseconds of silence on one channel with every step of a clock that the test moves. */
class SteppedSource implements CaptureSource {
  readonly format = { channels: 1, sampleRate_Hz: RATE, bits: 24 as const };
  #listener: CaptureListener | null = null;
  #frame = 0;
  async start(listener: CaptureListener) {
    this.#listener = listener;
  }
  async stop() {}
  give(receivedAt_s: number, gapFrames = 0) {
    this.#frame += gapFrames;
    const channels = [new Float32Array(FRAMES)];
    this.#listener!.onBlock({ firstFrame: this.#frame, frames: FRAMES, gapFrames, channels, receivedAt_s });
    this.#frame += FRAMES;
  }
}

describe('a drive with speed links', () => {
  let folder: string;
  let garage: ReturnType<typeof openGarage>;
  let recordings: RecordingsFolder;
  let source: SteppedSource;
  let session: LiveSession;
  let kind: 'device' | 'run';
  let now_s: number;
  let state: LiveState;

  beforeEach(() => {
    folder = temporaryFolder();
    garage = openGarage(join(folder, 'garage.db'));
    recordings = new RecordingsFolder(folder);
    source = new SteppedSource();
    kind = 'device';
    now_s = 1000;
    session = new LiveSession({
      openSource: async () => ({
        kind,
        name: 'test interface',
        source,
        channels: [{ channel: 1, role: 'vibration', position: 'hub-front-left', fullScale_m_s2: 100 }],
        vehicle,
        startsAt_s: 0,
        speedAt: null,
      }),
      openOutput: async () => ({ write: () => {}, close: async () => {} }),
      newRecording: async () => newRecording(recordings),
      startRun: (start) => startRun(garage, start, () => {}),
      vehicleLabel: () => 'test car',
      freeBytes: async () => 1e12,
      publish: (event: AppEvent) => {
        if (event.name === 'live.state') state = event.payload;
      },
      now_s: () => now_s,
    });
    return async () => {
      await session.close();
      garage.close();
    };
  });

  const open = () => session.open({ source: { kind: 'demo' }, visitId: null, channels: [] });
  /** Lets the stream run, with a satellite reading each half second. */
  const drive = (seconds: number, satellite_km_h: (t: number) => number) => {
    for (let i = 0; i < seconds * 100; i++) {
      now_s += 0.01;
      source.give(now_s);
      if (i % 50 === 25)
        session.takeSpeed('satellite', { quantity: 'road', km_h: satellite_km_h(i / 100), at_s: now_s });
    }
  };

  it('keeps the readings with the run, timed from its start, and the bundle carries them', async () => {
    await open();
    session.takeSpeed('satellite', { quantity: 'road', km_h: 49.5, at_s: now_s });
    await session.record(true);
    const { visitId } = session.state();
    drive(3, (t) => 50 + t);
    session.takeSpeed('bus', { quantity: 'road', km_h: 47, at_s: now_s });
    await session.record(false);
    const out = join(folder, 'bundle');
    await exportBundle(garage, recordings, visitId!, out);
    const bundle = parseVisitBundle(await readFile(join(out, 'visit.json'), 'utf8'));
    const { t_s, v_km_h } = bundle.runs[0]!.speed!;
    // The bus is not the speed that counts while the satellite speaks.
    expect(v_km_h).toEqual([49.5, 50.25, 50.75, 51.25, 51.75, 52.25, 52.75]);
    for (const [i, t] of [0, 0.26, 0.76, 1.26, 1.76, 2.26, 2.76].entries()) expect(t_s[i]).toBeCloseTo(t, 6);
  });

  it('keeps the time of readings that come while frames are missing', async () => {
    await open();
    await session.record(true);
    const { runId } = session.state().recording!;
    drive(1, () => 50);
    now_s += 1.5;
    session.takeSpeed('satellite', { quantity: 'road', km_h: 55, at_s: now_s });
    now_s += 0.5;
    source.give(now_s, 2 * RATE - FRAMES);
    drive(1, () => 60);
    await session.record(false);
    const { t_s, v_km_h } = garage.runs.speed(runId);
    expect(v_km_h).toEqual([50, 50, 55, 60, 60]);
    for (const [i, t] of [0.26, 0.76, 2.5, 3.26, 3.76].entries()) expect(t_s[i]).toBeCloseTo(t, 6);
  });

  it('finds the gear and keeps it with the stretch of the run; a keyed one goes before', async () => {
    await open();
    await session.record(true);
    const { runId } = session.state().recording!;
    for (let i = 0; i < 300; i++) {
      now_s += 0.01;
      source.give(now_s);
      if (i % 20 === 0) session.takeSpeed('bus', { quantity: 'road', km_h: 70, at_s: now_s });
      if (i % 20 === 10) session.takeSpeed('bus', { quantity: 'engine', rpm: rpmAt(70, 0.97), at_s: now_s });
    }
    expect(session.state().speed).toMatchObject({ from: 'bus', km_h: 70, gearFrom: 'speeds' });
    expect(session.state().speed.gearRatio).toBeCloseTo(0.97, 6);
    expect(session.state().speed.engine_rpm).toBeCloseTo(rpmAt(70, 0.97), 6);
    session.setGearRatio(1.28);
    expect(session.state().speed).toMatchObject({ gearRatio: 1.28, gearFrom: 'hand' });
    session.setGearRatio(null);
    expect(session.state().speed.gearRatio).toBeCloseTo(0.97, 6);
    drive(4, () => 70);
    expect(session.state().speed).toMatchObject({ engine_rpm: null, gearRatio: null, gearFrom: null });
    await session.record(false);
    const ratios = garage.runs.get(runId).segments.map((segment) => segment.gearRatio);
    expect(ratios[0]).toBeNull();
    expect(ratios[1]).toBeCloseTo(0.97, 6);
    expect(ratios.at(-1)).toBeNull();
  });

  it('does not let a link speak into a recorded run that is played', async () => {
    kind = 'run';
    await open();
    session.takeSpeed('satellite', { quantity: 'road', km_h: 50, at_s: now_s });
    expect(session.state().speed).toMatchObject({ from: 'hand', km_h: null });
  });

  it('shows the links with the speed', () => {
    const link = { kind: 'bus', port: 'COM3', problem: null, km_h: 50, engine_rpm: null } as const;
    session.showSpeedLinks([link]);
    expect(state.speed.links).toEqual([link]);
  });
});
