import { type ChildProcess, spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdtempSync, readdirSync, readFileSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openGarage } from '../../db/open.ts';
import type { App } from '../../electron/service/app.ts';
import { openApp } from '../../electron/service/open-app.ts';
import type { AppEvent, RequestInput, RequestName, RequestOutput } from '../../shared/contract/requests.ts';
import { ATTACHMENT_BYTES, type VisitWork } from '../../shared/contract/visit-work.ts';
import { emptyDecision } from '../../shared/decision/decision.ts';
import { message } from '../../shared/messages/message.ts';
import { english } from '../../shared/messages/tell.ts';
import { channelsOf } from '../../shared/visit-work/channels-of.ts';
import { emptyInspection, type Inspection } from '../../shared/visit-work/inspection.ts';
import { emptyIntake } from '../../shared/visit-work/intake.ts';
import { emptyRigging } from '../../shared/visit-work/rigging.ts';
import { defaultSettings, type Settings } from '../../shared/visit-work/settings.ts';
import { inEnglish } from '../in-english.ts';

let folder: string;
let app: App;
let reported: unknown[];

const open = async (): Promise<App> => {
  reported = [];
  return openApp({ dataFolder: folder, report: (error) => reported.push(error) });
};
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'rumblepath-visit-'));
  app = await open();
});
afterEach(async () => {
  await app.close();
  rmSync(folder, { recursive: true, force: true });
});

async function ask<N extends RequestName>(name: N, input: RequestInput<N>): Promise<RequestOutput<N>> {
  const reply = await app.handle(name, input);
  if (!reply.ok) throw new Error(`${name}: ${reply.field ?? ''} ${english(reply.told)}`);
  return reply.value as RequestOutput<N>;
}
const begin = () => ask('work.begin', { vehicleId: null });

/** Every row of every table. */
function everything(): unknown {
  const garage = openGarage(join(folder, 'garage.db'));
  const tables = garage.db
    .prepare(`SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'vehicle_text%'`)
    .all() as { name: string }[];
  const rows = tables.map(({ name }) => [name, garage.db.prepare(`SELECT * FROM ${name}`).all()]);
  garage.close();
  return rows;
}

const filled = () => {
  const intake = emptyIntake();
  intake.ownerWords = 'It hums from the rear at 80.';
  intake.label = 'grey estate';
  intake.plate = 'RP-LC 512';
  intake.vin = '1m8gdm9a xkp042788';
  intake.odometer_km = 148_200;
  intake.heard.speedFrom_km_h = 70;
  intake.heard.speedTo_km_h = 90;
  intake.tyres.size = '205/55R16';
  intake.tyres.wheels['rear-left'] = { pressure_kPa: 230, tread_mm: 5.5, madeIn: '2319' };
  Object.assign(intake.driveline, { layout: 'rwd', electricDrive: false, cylinders: 4 });
  Object.assign(intake.driveline.finalDrive.rear, { ringTeeth: 41, pinionTeeth: 11 });
  return intake;
};

describe('a visit from its beginning', () => {
  it('begins without knowing anything and reminds of what is missing', async () => {
    const work = await begin();
    expect(work).toMatchObject({ step: 'intake', done: [], skipped: [], finishedAt: null });
    expect(work.intake).toEqual(emptyIntake());
    expect(work.missing[0]!.field).toBe('driveline.layout');
    expect(work.reminders.map((r) => r.step)).toContain('intake');
    expect(await ask('work.unfinished', null)).toMatchObject([{ visitId: work.visitId, step: 'intake' }]);
  });

  it('the intake reaches the vehicle, the visit and the search, and comes back as it was saved', async () => {
    const { visitId, vehicleId } = await begin();
    const work = await ask('work.saveIntake', { visitId, intake: filled() });
    expect(work.intake).toEqual({ ...filled(), vin: '1M8GDM9AXKP042788' });
    expect(work.done).toContain('intake');
    const { vehicle } = await ask('vehicles.page', { vehicleId });
    expect(vehicle).toMatchObject({
      plate: 'RP-LC 512',
      vin: '1M8GDM9AXKP042788',
      spec: {
        label: 'grey estate',
        layout: 'rwd',
        layoutAssumed: false,
        finalDrive: { rear: { ringTeeth: 41, pinionTeeth: 11 } },
        engine: { cylinders: 4 },
      },
    });
    expect(vehicle.spec.rollingCircumference_m).toBeCloseTo(1.9273, 4);
    const found = await ask('vehicles.search', { text: 'rplc512' });
    expect(found).toMatchObject([{ id: vehicleId, lastComplaint: 'It hums from the rear at 80.' }]);
    expect(await ask('visits.get', { visitId })).toMatchObject({ odometer_km: 148_200 });
  });

  it('the next visit of the vehicle begins with what is known of it, and asks its own questions anew', async () => {
    const first = await begin();
    await ask('work.saveIntake', { visitId: first.visitId, intake: filled() });
    const { intake, visitId } = await ask('work.begin', { vehicleId: first.vehicleId });
    expect(intake).toMatchObject({ plate: 'RP-LC 512', ownerWords: '', odometer_km: null });
    expect(intake.driveline.finalDrive.rear.ringTeeth).toBe(41);
    expect(intake.heard.speedFrom_km_h).toBeNull();
    expect(intake.tyres.size).toBe('205/55R16');
    expect(intake.tyres.wheels['rear-left'].pressure_kPa).toBeNull();
    const less = await ask('work.saveIntake', { visitId, intake: { ...intake, odometer_km: 100_000 } });
    expect(less.reminders.map((r) => english(r.text)).join()).toContain('less than at the last visit');
  });

  it('any step can be skipped, comes back as a reminder, and goes once it is done', async () => {
    const { visitId } = await begin();
    let work = await ask('work.skip', { visitId, step: 'inspection', skipped: true });
    expect(work.skipped).toEqual(['inspection']);
    const reminder = work.reminders.find((r) => r.step === 'inspection')!;
    expect(reminder.weight).toBe('safety');
    expect(english(reminder.text)).toContain('skipped');
    work = await ask('work.saveInspection', { visitId, inspection: emptyInspection() });
    expect(work.skipped).toEqual([]);
    work = await ask('work.goTo', { visitId, step: 'findings' });
    work = await ask('work.goTo', { visitId, step: 'decision' });
    expect(work).toMatchObject({ step: 'decision', done: expect.arrayContaining(['findings']) });
    work = await ask('work.finish', { visitId, finished: true });
    expect(work.finishedAt).not.toBeNull();
    expect(await ask('work.unfinished', null)).toEqual([]);
  });
});

describe('closing the program in mid-visit', () => {
  it('opens again where it stood, with what was typed in every form, right or wrong', async () => {
    const { visitId } = await begin();
    await ask('work.goTo', { visitId, step: 'rigging' });
    const typed = { odometer_km: '12o', ownerWords: 'hums', nested: [null, { deep: true }] };
    await ask('drafts.save', { visitId, form: 'intake', value: typed });
    await ask('drafts.save', { visitId: null, form: 'settings', value: { labour: '9x' } });
    await app.close();
    app = await open();
    expect(await ask('work.unfinished', null)).toMatchObject([{ visitId, step: 'rigging' }]);
    const work = await ask('work.get', { visitId });
    expect(work.drafts).toEqual({ intake: typed });
    expect(await ask('settings.get', null)).toMatchObject({ draft: { labour: '9x' } });
    await ask('work.saveIntake', { visitId, intake: filled() });
    expect((await ask('work.get', { visitId })).drafts).toEqual({});
  });

  it('killed while somebody types, it has every letter that it said it had', async () => {
    for (const after of [1, 40, 200]) {
      const told = await typeUntilKilled(after);
      app = await open();
      const [visitId, letters] = told.at(-1)!;
      const { value } = await ask('drafts.get', { visitId: visitId!, form: 'intake' });
      expect((value as { ownerWords: string }).ownerWords.length).toBeGreaterThanOrEqual(letters!);
      expect(await ask('work.unfinished', null)).toContainEqual(expect.objectContaining({ visitId }));
    }
  }, 60_000);

  async function typeUntilKilled(after: number): Promise<number[][]> {
    await app.close();
    const program = join(import.meta.dirname, 'begin-and-type.ts');
    const child: ChildProcess = spawn('node', [program, folder], { stdio: ['ignore', 'pipe', 'inherit'] });
    let text = '';
    child.stdout!.on('data', (data: Buffer) => {
      text += data;
      if (text.split('\n').length > after) child.kill('SIGKILL');
    });
    await new Promise((resolve) => child.on('close', resolve));
    const whole = text.slice(0, text.lastIndexOf('\n')).split('\n');
    return whole.map((line) => line.split(' ').map(Number));
  }
});

describe('nonsense', () => {
  const bad: [RequestName, (work: VisitWork) => unknown, string, RegExp][] = [
    [
      'work.saveIntake',
      ({ visitId }) => ({ visitId, intake: { ...filled(), vin: '1M8GDM9AXKPO42788' } }),
      'intake.vin',
      /letter O/,
    ],
    [
      'work.saveIntake',
      ({ visitId }) => ({ visitId, intake: { ...filled(), odometer_km: '12o' } }),
      'intake.odometer_km',
      /Odometer: a number is needed/,
    ],
    [
      'work.saveRigging',
      ({ visitId }) => ({
        visitId,
        rigging: {
          ...emptyRigging(),
          channels: [
            { channel: 1, position: 'hub-rear-left', pickup: null, relative: false },
            { channel: 1, position: 'hub-rear-right', pickup: null, relative: false },
          ],
        },
      }),
      'rigging.channels.1.channel',
      /1 is taken already/,
    ],
    [
      'work.saveRigging',
      ({ visitId }) => ({
        visitId,
        rigging: {
          ...emptyRigging(),
          channels: [{ channel: 1, position: 'hub-rear-left', pickup: 'nobody’s', relative: false }],
        },
      }),
      'rigging.channels.0.pickup',
      /in no pickup set/,
    ],
    [
      'work.saveInspection',
      ({ visitId }) => ({ visitId, inspection: withUnit({ refilled_l: -1 }) }),
      'inspection.units.0.refilled_l',
      /Fluid refilled: from 0 to 50 l/,
    ],
    [
      'work.saveInspection',
      ({ visitId }) => ({ visitId, inspection: withUnit({ photoId: 99 }) }),
      'inspection.units.0.photoId',
      /does not belong to the visit/,
    ],
    [
      'work.saveDecision',
      ({ visitId }) => ({ visitId, decision: { ...emptyDecision(), horizon_km: 5 } }),
      'decision.horizon_km',
      /Horizon: from 100/,
    ],
    [
      'settings.save',
      () => ({ settings: { ...defaultSettings(), currency: 'euro' } }),
      'settings.currency',
      /three capital letters/,
    ],
    [
      'settings.save',
      () => ({ settings: twoPickupsOfOneName() }),
      'settings.pickupSets.1.pickups.0.name',
      /listed twice/,
    ],
    [
      'drafts.save',
      ({ visitId }) => ({ visitId, form: 'intake', value: { text: 'x'.repeat(200_001) } }),
      'value',
      /shorten its texts/,
    ],
    ['work.goTo', ({ visitId }) => ({ visitId, step: 'lunch' }), 'step', /./],
    ['roadCard.follow', ({ visitId }) => ({ visitId }), 'visitId', /no road card yet/],
    ['rigging.useCalibration', ({ visitId }) => ({ visitId, channel: 1 }), 'channel', /which pickup/],
  ];

  it.each(bad)('%s is refused at its field and changes nothing', async (name, input, field, message) => {
    const work = await begin();
    const before = everything();
    const reply = await app.handle(name, input(work));
    expect(inEnglish(reply)).toMatchObject({ ok: false, field, message: expect.stringMatching(message) });
    expect(everything()).toEqual(before);
    expect(reported).toEqual([]);
  });

  it.each<[RequestName, unknown]>([
    ['work.get', { visitId: 77 }],
    ['work.saveIntake', { visitId: 77, intake: filled() }],
    ['work.saveInspection', { visitId: 77, inspection: emptyInspection() }],
    ['work.saveDecision', { visitId: 77, decision: emptyDecision() }],
    ['work.begin', { vehicleId: 77 }],
    ['drafts.save', { visitId: 77, form: 'intake', value: 1 }],
    ['attachments.get', { attachmentId: 77 }],
    ['roadCard.segments', { runId: 77 }],
  ])('%s of what is not there is told in a sentence', async (name, input) => {
    const before = everything();
    const reply = await app.handle(name, input);
    expect(inEnglish(reply)).toMatchObject({ ok: false, message: expect.stringMatching(/[a-z].*\.$/) });
    expect(everything()).toEqual(before);
    expect(reported).toEqual([]);
  });

  it('a check without an open source is refused', async () => {
    const reply = await app.handle('checks.start', { visitId: null, check: { check: 'noiseFloor' } });
    expect(inEnglish(reply)).toMatchObject({
      ok: false,
      message: expect.stringContaining('Open the interface first'),
    });
  });
});

function withUnit(change: object): Inspection {
  const unit = {
    unit: 'differential-rear' as const,
    debris: null,
    photoId: null,
    drained_l: null,
    refilled_l: null,
    fillPlugOpenedFirst: null,
    fluid: '',
    fillPlug: { wanted_Nm: null, done_Nm: null },
    drainPlug: { wanted_Nm: null, done_Nm: null },
    note: '',
  };
  return { ...emptyInspection(), units: [{ ...unit, ...change }] };
}

function twoPickupsOfOneName(): Settings {
  const pickups = [{ name: 'A', sensitivity_mV_per_m_s2: 10, calibrations: [] }];
  return {
    ...defaultSettings(),
    pickupSets: [
      { name: 'one', pickups },
      { name: 'two', pickups },
    ],
  };
}

describe('pictures', () => {
  const JPEG = Buffer.from([0xff, 0xd8, 0xff, 0xe0, 1, 2, 3]);
  const add = (
    visitId: number | null,
    bytes: Buffer = JPEG,
    mediaType: 'image/jpeg' | 'image/png' = 'image/jpeg',
  ) =>
    app.handle('attachments.add', {
      visitId,
      name: '../../magnet.jpg',
      mediaType,
      base64: bytes.toString('base64'),
    });
  const files = () => readdirSync(join(folder, 'attachments'));

  it('are kept in the data folder with their checksum and come back byte by byte', async () => {
    const { visitId } = await begin();
    const reply = await add(visitId);
    const sha256 = createHash('sha256').update(JPEG).digest('hex');
    expect(reply).toMatchObject({ ok: true, value: { visitId, bytes: 7, sha256, name: '../../magnet.jpg' } });
    expect(files()).toHaveLength(1);
    expect(files()[0]).toMatch(/^[0-9a-f-]{36}\.jpg$/);
    const { attachments } = await ask('work.get', { visitId });
    const got = await ask('attachments.get', { attachmentId: attachments[0]!.id });
    expect(Buffer.from(got.base64, 'base64')).toEqual(JPEG);
  });

  it('may be as large as is said, and still fit one message of the loopback host', async () => {
    const { visitId } = await begin();
    const largest = Buffer.concat([JPEG, Buffer.alloc(ATTACHMENT_BYTES - JPEG.length, 7)]);
    expect(await add(visitId, largest)).toMatchObject({ ok: true, value: { bytes: ATTACHMENT_BYTES } });
    expect(largest.toString('base64').length).toBeLessThan(2 ** 20 - 1000);
  });

  it('are refused when too large, empty, or not what they say; nothing is left behind', async () => {
    const { visitId } = await begin();
    const large = Buffer.concat([JPEG, Buffer.alloc(ATTACHMENT_BYTES)]);
    for (const [bytes, type] of [
      [large, 'image/jpeg'],
      [Buffer.alloc(0), 'image/jpeg'],
      [Buffer.from('<svg onload="x">'), 'image/png'],
      [JPEG, 'image/png'],
    ] as const) {
      expect(await add(visitId, bytes, type)).toMatchObject({ ok: false, field: 'base64' });
    }
    expect(await add(77)).toMatchObject({ ok: false });
    expect(files()).toEqual([]);
    expect((await ask('work.get', { visitId })).attachments).toEqual([]);
  });

  it('that were changed on the disk, or are gone, are not shown as proof', async () => {
    const { visitId } = await begin();
    await add(visitId);
    const path = join(folder, 'attachments', files()[0]!);
    writeFileSync(path, Buffer.concat([readFileSync(path), Buffer.from('!')]));
    const [attachment] = (await ask('work.get', { visitId })).attachments;
    const get = () => app.handle('attachments.get', { attachmentId: attachment!.id });
    expect(inEnglish(await get())).toMatchObject({
      ok: false,
      message: expect.stringContaining('has been changed'),
    });
    rmSync(path);
    expect(inEnglish(await get())).toMatchObject({
      ok: false,
      message: expect.stringContaining('no longer there'),
    });
  });

  it('go with the findings that point to them', async () => {
    const { visitId } = await begin();
    await add(visitId);
    const [photo] = (await ask('work.get', { visitId })).attachments;
    await ask('work.saveInspection', {
      visitId,
      inspection: withUnit({ debris: 'flakes', photoId: photo!.id }),
    });
    await ask('attachments.remove', { attachmentId: photo!.id });
    const work = await ask('work.get', { visitId });
    expect(work.inspection.units[0]).toMatchObject({ debris: 'flakes', photoId: null });
    expect(work.attachments).toEqual([]);
    expect(files()).toEqual([]);
  });

  it('that a killed program left half written are swept at the next start, young ones are left alone', async () => {
    const { visitId } = await begin();
    await add(visitId);
    const stray = (name: string, age_h: number) => {
      const path = join(folder, 'attachments', name);
      writeFileSync(path, 'half');
      const then = Date.now() / 1000 - 3600 * age_h;
      utimesSync(path, then, then);
    };
    stray('old.jpg.unfinished', 2);
    stray('young.jpg.unfinished', 0);
    await app.close();
    app = await open();
    expect(files().filter((f) => f.endsWith('.unfinished'))).toEqual(['young.jpg.unfinished']);
    expect(files()).toHaveLength(2);
  });
});

describe('inspection and decision', () => {
  it('a hard stop forbids to choose watching, with the reason at the field', async () => {
    const { visitId } = await begin();
    await ask('work.saveInspection', { visitId, inspection: withUnit({ debris: 'chips' }) });
    for (const chosen of ['watch', 'nothing'] as const) {
      const decision = { ...emptyDecision(), chosen };
      expect(inEnglish(await app.handle('work.saveDecision', { visitId, decision }))).toMatchObject({
        ok: false,
        field: 'decision.chosen',
        message: expect.stringContaining('do not drive'),
      });
    }
    await ask('work.saveDecision', { visitId, decision: { ...emptyDecision(), chosen: 'replace' } });
  });

  it('the decision becomes the visit’s outcome, and is taken back with it', async () => {
    const { visitId, vehicleId } = await begin();
    const outcome = async () => (await ask('outcomes.ofVehicle', { vehicleId }))[0];
    const decision = {
      ...emptyDecision(),
      source: 'differential-rear' as const,
      chosen: 'watch' as const,
      reason: 'fine paste, no play',
      nextCheck: { date: '2027-05-01', odometer_km: 160_000 },
    };
    await ask('work.saveDecision', { visitId, decision });
    expect(await outcome()).toMatchObject({
      done: 'watched',
      source: 'differential-rear',
      nextCheckAt_km: 160_000,
    });
    await ask('work.saveInspection', { visitId, inspection: withUnit({ drained_l: 1.1, refilled_l: 1.1 }) });
    expect(await outcome()).toMatchObject({ done: 'serviced' });
    await ask('work.saveDecision', { visitId, decision: { ...decision, chosen: 'replace' } });
    expect(await outcome()).toBeUndefined();
    await ask('work.saveDecision', {
      visitId,
      decision: { ...decision, chosen: 'replace', carriedOut: true },
    });
    expect(await outcome()).toMatchObject({ done: 'repaired' });
  });

  it('the shop’s history counts only decisions whose end is known', async () => {
    const visit = async (
      vehicleId: number | null,
      at: string,
      km: number,
      done: 'watched' | 'repaired' | null,
    ) => {
      const id = vehicleId ?? (await begin()).vehicleId;
      const started = await ask('visits.start', {
        vehicleId: id,
        startedAt: at,
        odometer_km: km,
        complaint: '',
      });
      if (done) {
        const outcome = {
          done,
          source: 'wheel-bearing-rear-left' as const,
          note: '',
          nextCheckOn: null,
          nextCheckAt_km: null,
        };
        await ask('outcomes.set', { visitId: started.id, outcome });
      }
      return id;
    };
    const [y1, y2] = ['2030-01-01T00:00:00Z', '2031-01-01T00:00:00Z'];
    const repairedSoon = await visit(null, y1, 100_000, 'watched');
    await visit(repairedSoon, y2, 112_000, 'repaired');
    const lasted = await visit(null, y1, 50_000, 'watched');
    await visit(lasted, y2, 75_000, null);
    const repairedLate = await visit(null, y1, 50_000, 'watched');
    await visit(repairedLate, y2, 90_000, 'repaired');
    const notSeenAgain = await visit(null, y1, 50_000, 'watched');
    await visit(notSeenAgain, y2, 60_000, null);
    const history = (source: RequestInput<'work.history'>['source']) =>
      ask('work.history', { source, horizon_km: 20_000 });
    expect(await history('wheel-bearing-rear-left')).toEqual({ known: 3, repaired: 1 });
    // A bearing of another corner is the same kind of part; a tyre is not.
    expect(await history('wheel-bearing-front-right')).toEqual({ known: 3, repaired: 1 });
    expect(await history('tyre-rear-left')).toEqual({ known: 0, repaired: 0 });
  });
});

describe('pickups and settings', () => {
  const settings = (): Settings => ({
    ...defaultSettings(),
    interfaces: [{ name: 'eight inputs', fullScale_V: 5 }],
    pickupSets: [
      {
        name: 'hub set',
        pickups: [
          { name: 'A', sensitivity_mV_per_m_s2: 10.2, calibrations: [] },
          { name: 'B', sensitivity_mV_per_m_s2: null, calibrations: [] },
        ],
      },
    ],
  });
  const rigging = () => ({
    ...emptyRigging(),
    interfaceName: 'eight inputs',
    channels: [
      { channel: 1, position: 'hub-rear-left', pickup: 'A', relative: false },
      { channel: 2, position: 'hub-rear-right', pickup: 'B', relative: false },
    ],
  });

  it('sensitivity and interface give the full scale; what is not known is relative, and is reminded of', async () => {
    await ask('settings.save', { settings: settings() });
    const { visitId } = await begin();
    const work = await ask('work.saveRigging', { visitId, rigging: rigging() });
    const channels = channelsOf(work.rigging, settings());
    // 5 V over 10.2 mV per m/s² (100 mV/g, the usual industrial sensitivity) are 490 m/s² (computed).
    expect(channels[0]).toMatchObject({ pickup: 'A', position: 'hub-rear-left' });
    expect((channels[0] as { fullScale_m_s2: number }).fullScale_m_s2).toBeCloseTo(490.2, 1);
    expect(channels[1]).toMatchObject({ pickup: 'B', fullScale_m_s2: null });
    expect(work.reminders.map((r) => english(r.text)).join('\n')).toMatch(/Relative levels on channel 2/);
  });

  it('a calibration that was made becomes the pickup’s; a refused one after it does not', async () => {
    await ask('settings.save', { settings: settings() });
    const { visitId } = await begin();
    await ask('work.saveRigging', { visitId, rigging: rigging() });
    const use = () => app.handle('rigging.useCalibration', { visitId, channel: 2 });
    expect(await use()).toMatchObject({ ok: false, field: 'channel' });
    const result = {
      check: 'calibration' as const,
      channel: 2,
      verdict: 'calibrated' as const,
      reason: null,
      frequency_Hz: 159.15,
      rms: 0.05,
      reference_m_s2: 10,
      fullScale_m_s2: 200,
      text: message('check.calibration.calibrated', { channel: 2, fullScale_m_s2: 200 }),
    };
    const garage = openGarage(join(folder, 'garage.db'));
    garage.riggingChecks.add(visitId, '2026-11-25T10:00:00Z', result);
    expect(await use()).toMatchObject({ ok: true });
    const kept = (await ask('settings.get', null)).settings;
    const work = await ask('work.get', { visitId });
    expect(channelsOf(work.rigging, kept)[1]).toMatchObject({ fullScale_m_s2: 200 });
    expect(work.checks).toMatchObject([{ result: { fullScale_m_s2: 200 } }]);
    // On another channel of the same interface its gain is not known.
    const moved = { ...work.rigging, channels: [{ ...work.rigging.channels[1]!, channel: 3 }] };
    expect(channelsOf(moved, kept)[0]).toMatchObject({ fullScale_m_s2: null });

    garage.riggingChecks.add(visitId, '2026-11-25T10:05:00Z', {
      ...result,
      verdict: 'refused',
      reason: 'unsteady',
      fullScale_m_s2: null,
    });
    garage.close();
    expect(inEnglish(await use())).toMatchObject({
      ok: false,
      message: expect.stringContaining('was refused'),
    });
    const relative = await ask('rigging.markRelative', { visitId, channel: 2, relative: true });
    expect(channelsOf(relative.rigging, kept)[1]).toMatchObject({ fullScale_m_s2: null });
  });

  it('settings of another version lose only the part that no longer fits', async () => {
    await ask('settings.save', { settings: { ...settings(), labourRate_per_h: 95 } });
    const garage = openGarage(join(folder, 'garage.db'));
    garage.db.exec(
      `UPDATE setting SET value = json_set(value, '$.units', 'nautical', '$.colour', 'red') WHERE name = 'workshop'`,
    );
    garage.close();
    expect((await ask('settings.get', null)).settings).toEqual({ ...settings(), labourRate_per_h: 95 });
  });
});

describe('the road card of a visit', () => {
  it('is proposed, kept, and shows what its runs have brought', async () => {
    const { visitId } = await begin();
    await ask('work.saveIntake', { visitId, intake: filled() });
    const wishes = { visitId, open: null, neutralAllowed: false, limit_km_h: 100 };
    let work = await ask('roadCard.propose', wishes);
    expect(work.roadCard!.manoeuvres[0]!.id).toBe('steady-80');
    expect(work.roadProgress.missing).toHaveLength(work.roadCard!.manoeuvres.length);

    const garage = openGarage(join(folder, 'garage.db'));
    const run = garage.runs.start({
      visitId,
      startedAt: '2026-11-25T10:00:00Z',
      file: 'run.wav',
      sampleRate_Hz: 48_000,
      channels: [{ channel: 1, role: 'vibration', position: 'hub-rear-left' }],
      orderLines: [],
    });
    const t_s = Array.from({ length: 41 }, (_, i) => i);
    garage.runs.addSpeed(run.id, { t_s, v_km_h: t_s.map(() => 80) });
    garage.runs.addSegment(run.id, { from_s: 0, to_s: 26, state: 'drive' });
    garage.runs.addSegment(run.id, { from_s: 26, to_s: 40, state: 'swayLeft' });
    garage.runs.finish(run.id, 40 * 48_000);
    garage.close();

    work = await ask('work.get', { visitId });
    const state = (id: string) => work.roadProgress.manoeuvres.find((m) => m.id === id)!.state;
    expect([state('steady-80'), state('swayLeft-80'), state('swayRight-80')]).toEqual([
      'done',
      'done',
      'missing',
    ]);
    expect(work.reminders.map((r) => english(r.text)).join('\n')).toContain('Gentle left-hand bends');
    const found = await ask('roadCard.segments', { runId: run.id });
    expect(found.map((f) => f.segment.state)).toEqual(['drive', 'swayLeft']);
  });
});

describe('on the running demo drive', () => {
  it('a check listens to the open source, tells its result and keeps it; the road card speaks', async () => {
    const { visitId } = await begin();
    await ask('roadCard.propose', { visitId, open: null, neutralAllowed: false, limit_km_h: 100 });
    const events: AppEvent[] = [];
    const end = app.subscribe((event) => events.push(event));
    await ask('live.open', { source: { kind: 'demo' }, visitId, channels: [] });
    await ask('live.listen', { on: false });
    await ask('roadCard.follow', { visitId });
    await ask('checks.start', { visitId, check: { check: 'noiseFloor' } });
    expect(await ask('checks.state', null)).toMatchObject({ running: 'noiseFloor' });
    await expect.poll(() => events.some((e) => e.name === 'checks.result'), { timeout: 20_000 }).toBe(true);
    end();
    const { checks, roadProgress } = await ask('work.get', { visitId });
    const kept = checks[0]!.result;
    expect(kept.check === 'noiseFloor' && kept.channels).toHaveLength(8);
    expect(roadProgress).toMatchObject({ following: true, current: 'steady-80' });
    const prompt = events.find((e) => e.name === 'road.prompt')!.payload;
    expect(prompt.tone).toBe('begin');
    expect(english(prompt.say)).toMatch(/^Hold 80/);
    await ask('live.close', null);
    expect((await ask('work.get', { visitId })).roadProgress.following).toBe(false);
    expect(reported).toEqual([]);
  }, 40_000);
});
