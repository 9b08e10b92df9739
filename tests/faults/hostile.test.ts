/**
 * Input that wants to do harm, from fixed seeds: visit.json, NMEA, bus replies, database files and contract requests.
 * Ten thousand mutated WAV and RF64 files are in tests/native/wav.test.ts.
 */
import {
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { GarageError, garageError } from '../../db/error.ts';
import { openGarage } from '../../db/open.ts';
import { seedLargeGarage } from '../../seeds/garage/large-garage.ts';
import { BundleError, parseVisitBundle, VisitBundleSchema } from '../../shared/bundle/visit.ts';
import { REQUESTS, type RequestName } from '../../shared/contract/requests.ts';
import { english } from '../../shared/messages/tell.ts';
import { BusProtocol } from '../../shared/speed/bus-protocol.ts';
import type { SpeedProtocol } from '../../shared/speed/protocol.ts';
import { SatelliteProtocol } from '../../shared/speed/satellite-protocol.ts';
import { FakeChild } from '../native/fake-child.ts';
import { bytesOf, rmc, sentence } from '../speed/sentence.ts';
import { mutateBytes, mutateJson, randomly } from './mutator.ts';
import { newFolder, openShop, sized } from './shop.ts';

const COUNT = 10_000;

const VISIT = {
  formatVersion: 1,
  vehicle: {
    label: 'van',
    odometer_km: 100_000,
    layout: 'rwd',
    rollingCircumference_m: 2,
    wheelBearing: { rollingElements: 9, elementDiameter_mm: 8, pitchDiameter_mm: 40, contactAngle_deg: 0 },
    finalDrive: { front: null, rear: { ringTeeth: 41, pinionTeeth: 11 } },
    engine: { cylinders: 4 },
    electricDrive: false,
  },
  runs: [
    {
      file: 'run-1.wav',
      startedAt: '2026-01-01T10:00:00Z',
      channels: [
        { channel: 1, role: 'vibration', position: 'hub-rear-left', fullScale_m_s2: 100 },
        { channel: 2, role: 'tacho', shaft: 'propshaft', pulsesPerRev: 2 },
      ],
      speed: { t_s: [0, 1], v_km_h: [50, 51] },
      segments: [{ from_s: 0, to_s: 1, state: 'drive', gearRatio: 1 }],
      marks: [{ at_s: 0.5, text: 'here' }],
      gaps: [{ firstFrame: 10, frames: 5 }],
    },
  ],
};

describe('visit.json', () => {
  it(`${COUNT} mutations are a visit or one short sentence with file and field`, () => {
    const random = randomly(20260101);
    const text = JSON.stringify(VISIT);
    const began = performance.now();
    let taken = 0;
    for (let i = 0; i < COUNT; i++) {
      const mutated =
        i % 2 === 0
          ? JSON.stringify(mutateJson(VISIT, random))
          : Buffer.from(mutateBytes(bytesOf(text), random)).toString('latin1');
      try {
        const visit = parseVisitBundle(mutated, 'visit.json');
        expect(VisitBundleSchema.safeParse(visit).success).toBe(true);
        for (const run of visit.runs) expect(run.file).not.toMatch(/[\\/\0]|^\.\.?$/);
        taken++;
      } catch (error) {
        expect(error).toBeInstanceOf(BundleError);
        expect((error as Error).message).toMatch(/^visit\.json: /);
        expect((error as Error).message.length).toBeLessThan(1000);
      }
    }
    expect(taken).toBeGreaterThan(100);
    expect(taken).toBeLessThan(COUNT - 100);
    expect(({} as { polluted?: boolean }).polluted).toBeUndefined();
    expect((performance.now() - began) / COUNT).toBeLessThan(5);
  });

  it('nested a hundred thousand deep, or with links in the place of its files, is refused and leaves nothing', async () => {
    const around = newFolder();
    const data = join(around, 'data');
    const shop = await openShop(data);
    const bundle = (name: string): string => {
      const folder = join(around, name);
      mkdirSync(folder);
      return folder;
    };
    const deep = bundle('deep');
    const nested = `${'['.repeat(100_000)}${']'.repeat(100_000)}`;
    writeFileSync(
      join(deep, 'visit.json'),
      JSON.stringify({ ...VISIT, runs: [], extra: 0 }).replace('"extra":0', `"extra":${nested}`),
    );
    const linkedVisit = bundle('linked-visit');
    writeFileSync(join(around, 'elsewhere.json'), JSON.stringify({ ...VISIT, runs: [] }));
    symlinkSync(join(around, 'elsewhere.json'), join(linkedVisit, 'visit.json'));
    const linkedSound = bundle('linked-sound');
    writeFileSync(join(linkedSound, 'visit.json'), JSON.stringify(VISIT));
    symlinkSync('/etc/passwd', join(linkedSound, 'run-1.wav'));
    const before = readdirSync(around).sort();
    for (const folder of [deep, linkedVisit, linkedSound, '/dev/zero', '/proc/self', '\0', 'x'.repeat(900)])
      await expect(
        shop.ask('bundles.import', { folder, vehicleId: null }),
        folder.slice(0, 60),
      ).rejects.toThrow();
    expect(await shop.ask('vehicles.search', { text: '' })).toEqual([]);
    await shop.close();
    expect(shop.reported).toEqual([]);
    expect(readdirSync(around).sort()).toEqual(before);
    expect(readdirSync(join(data, 'recordings'))).toEqual([]);
  });
});

/** Feeds mutated lines in pieces, time going on, and checks all that comes out. */
function feedHostile(protocol: SpeedProtocol, lines: readonly string[], seed: number): { readings: number } {
  const random = randomly(seed);
  let now_s = 0;
  let readings = 0;
  protocol.begin(now_s);
  const began = performance.now();
  for (let i = 0; i < COUNT; i++) {
    const line = bytesOf(lines[i % lines.length]!);
    let bytes = i % 3 === 0 ? line : mutateBytes(line, random);
    // A line that never ends, and a burst of line ends.
    if (i % 500 === 499) bytes = new Uint8Array(50_000).fill(i % 1000 === 499 ? 0x41 : 0x0a);
    const cut = Math.floor(random() * bytes.length);
    for (const piece of [bytes.subarray(0, cut), bytes.subarray(cut)]) {
      now_s += 0.03;
      const { readings: late, send } = protocol.step(now_s);
      if (send !== null) expect(send).toMatch(/^[ -~]{1,40}\r$/);
      for (const reading of [...late, ...protocol.receive(piece, now_s)]) {
        readings++;
        const value = reading.quantity === 'road' ? reading.km_h : reading.rpm;
        expect(value).toBeGreaterThanOrEqual(0);
        expect(value).toBeLessThanOrEqual(reading.quantity === 'road' ? 400 : 20_000);
        expect(reading.at_s).toBeLessThanOrEqual(now_s);
      }
    }
    protocol.problem(now_s);
  }
  expect((performance.now() - began) / COUNT).toBeLessThan(5);
  return { readings };
}

describe('speed links', () => {
  it(`${COUNT} mutated sentences of a satellite receiver give plausible speeds or none`, () => {
    const lines = [
      `${rmc('050.0')}\r\n`,
      `${sentence('GPVTG,,T,,M,050.0,N,092.6,K,A')}\r\n`,
      `${rmc('050.2', 'V')}\r\n`,
      `${sentence('GPGGA,081530.00,4500.000,N,00900.000,E,1,08,1.0,100.0,M,,M,,')}\r\n`,
    ];
    expect(feedHostile(new SatelliteProtocol(), lines, 7).readings).toBeGreaterThan(100);
  });

  it(`${COUNT} mutated replies of a bus adapter give plausible speeds or none`, () => {
    const lines = [
      '41 0D 32\r\r>',
      '410C1AF8\r\r>',
      '7E8 03 41 0D 33\r\r>',
      'NO DATA\r\r>',
      'SEARCHING...\r',
      '>',
    ];
    expect(feedHostile(new BusProtocol(), lines, 8).readings).toBeGreaterThan(100);
  });
});

describe('database files', () => {
  const FILES = sized(2000, COUNT);
  it(`${FILES} mutated garages open, or are refused in a sentence, and nothing hangs`, {
    timeout: FILES * 200,
  }, () => {
    const folder = newFolder();
    const original = join(folder, 'original.db');
    const made = openGarage(original);
    seedLargeGarage(made, { vehicles: 12, visitsPerVehicle: 3, seed: 1 });
    made.db.pragma('journal_mode = DELETE');
    made.close();
    const sound = readFileSync(original);
    const random = randomly(20260102);
    const path = join(folder, 'garage.db');
    let opened = 0;
    let refused = 0;
    for (let i = 0; i < FILES; i++) {
      for (const suffix of ['', '-wal', '-shm', '-journal']) rmSync(path + suffix, { force: true });
      writeFileSync(path, mutateBytes(sound, random));
      const began = performance.now();
      let garage: ReturnType<typeof openGarage> | undefined;
      try {
        garage = openGarage(path);
        opened++;
        garage.vehicles.search('van');
        for (const vehicle of [1, 7, 12])
          for (const { id } of garage.vehicles.page(vehicle).visits) garage.visits.get(id);
        garage.vehicles.add({ plate: 'RP 1', vin: null, ownerNote: '', spec: { label: 'x', layout: 'fwd' } });
      } catch (error) {
        refused++;
        // What SQLite says has a sentence; what it did not notice stands as damaged text or numbers in a row.
        if (garage === undefined) expect(error).toBeInstanceOf(GarageError);
        expect(garageError(error, path).message).toMatch(/^\w.*[.]$/s);
      } finally {
        garage?.close();
      }
      expect(performance.now() - began, `round ${i}`).toBeLessThan(5000);
    }
    expect(opened).toBeGreaterThan(FILES / 20);
    expect(refused).toBeGreaterThan(FILES / 20);
    expect(readdirSync(folder).filter((name) => !/^(original|garage)\.db/.test(name))).toEqual([]);
  });
});

/** Requests whose work is to write where they are told, or that start long work; asked with folders that cannot be. */
const WRITES_ELSEWHERE = new Set<RequestName>([
  'bundles.export',
  'garage.backUp',
  'garage.restore',
  'support.write',
]);

describe('contract requests', () => {
  it(`${COUNT} hostile ones are each answered; nothing is written outside the data folder`, {
    timeout: 240_000,
  }, async () => {
    const around = newFolder();
    const data = join(around, 'data');
    // No interface is there: its child ends at once.
    const forkChild = () => {
      const child = new FakeChild();
      setTimeout(() => child.kill(), 0);
      return child;
    };
    const shop = await openShop(data, { forkChild });
    await shop.ask('work.begin', { vehicleId: null });
    await shop.openDemo();
    await shop.ask('live.close', null);
    writeFileSync(join(around, 'a-file'), '');
    const nowhere = [
      join(around, 'a-file'),
      join(around, 'a-file', 'below'),
      '\0',
      '/proc/nothing',
      '/dev/null/x',
    ];
    // Seeding a garage takes seconds and harms nobody.
    const names = (Object.keys(REQUESTS) as RequestName[]).filter((name) => name !== 'garage.addDemo');
    const random = randomly(20260103);
    const escaped = '/tmp/rumblepath-escaped';
    rmSync(escaped, { recursive: true, force: true });
    const slowest = { ms: 0, name: '' };
    let done = 0;
    for (let i = 0; i < COUNT; i++) {
      const name = names[i % names.length]!;
      const input = hostileInput(name, random);
      if (WRITES_ELSEWHERE.has(name) && typeof input === 'object' && input !== null)
        (input as { folder: unknown }).folder = nowhere[i % nowhere.length];
      const began = performance.now();
      const reply = await shop.app.handle(name, input);
      const ms = performance.now() - began;
      if (ms > slowest.ms) Object.assign(slowest, { ms, name });
      if (reply.ok) done++;
      else {
        expect(english(reply.told).length).toBeGreaterThan(0);
        expect(english(reply.told)).not.toMatch(/the log has the details/);
      }
    }
    for (const name of ['no.such', '__proto__', 'toString', '', 'x'.repeat(1e6)])
      expect(await shop.app.handle(name, null)).toMatchObject({ ok: false });
    console.log(`${done} of ${COUNT} were done; slowest: ${slowest.name}, ${slowest.ms.toFixed(0)} ms`);
    // Some get past the schemas and into the code behind them.
    expect(done).toBeGreaterThan(COUNT / 20);
    expect(slowest.ms).toBeLessThan(15_000);
    await shop.close();
    expect(shop.reported).toEqual([]);
    expect(readdirSync(around).sort()).toEqual(['a-file', 'data']);
    expect(existsSync(escaped)).toBe(false);
    const there = new Set(readdirSync(data));
    for (const name of there)
      expect(name).toMatch(/^(garage\.db(\.lock)?(-wal|-shm|-journal)?|recordings|attachments|reports|log)$/);
    cpSync(data, join(around, 'copy'), { recursive: true });
    const garage = openGarage(join(around, 'copy', 'garage.db'));
    expect(garage.db.pragma('integrity_check', { simple: true })).toBe('ok');
    garage.close();
  });
});

/** Something near to what a request takes: its keys with likely values, then mutated. */
function hostileInput(name: RequestName, random: () => number): unknown {
  const likely: Record<string, unknown> = {
    vehicleId: 1,
    visitId: 1,
    runId: 1,
    channel: 1,
    folder: 'x',
    text: 'x',
    on: true,
    km_h: 50,
    source: { kind: 'device', name: '../x', channels: 8, sampleRate_Hz: 48_000, bits: 24 },
    channels: VISIT.runs[0]!.channels,
    vehicle: { plate: 'x', vin: null, ownerNote: '', spec: VISIT.vehicle },
    spec: VISIT.vehicle,
    startedAt: '2026-01-01T10:00:00Z',
    odometer_km: 1,
    complaint: '',
    from_s: 0,
    to_s: 1,
    state: 'drive',
    kind: 'satellite',
    port: '/dev/null',
    baudRate: 4800,
    format: 'html',
    sha256: '0'.repeat(64),
    series: 'x | dB | y',
    level_db: 1,
    withinDays: 1,
    runIds: [1],
    earlierVisitId: 1,
    laterVisitId: 1,
  };
  const { input } = REQUESTS[name];
  const keys = 'shape' in input ? Object.keys(input.shape as object) : Object.keys(likely);
  const near = Object.fromEntries(keys.map((key) => [key, likely[key] ?? null]));
  const kind = random();
  return kind < 0.1 ? null : kind < 0.25 ? near : mutateJson(near, random);
}
