import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { expect, it, onTestFinished } from 'vitest';
import { z } from 'zod';
import { GarageError } from '../../db/error.ts';
import { LogFile } from '../../electron/log/log-file.ts';
import { plainError } from '../../electron/log/plain-error.ts';
import { openApp } from '../../electron/service/open-app.ts';
import { message } from '../../shared/messages/message.ts';
import { temporaryFolder } from '../db/temporary.ts';
import { inEnglish } from '../in-english.ts';

/** What must never leave the garage: made up, and easy to find again. */
const SECRETS = {
  plate: 'ZQX 4711',
  vin: 'WZQXX00000Z004711',
  ownerNote: 'Mrs Zyqqara pays cash',
  complaint: 'zyqqing noise behind the left ear',
  mark: 'zyqq over the bridge',
};

const holdsSecrets = (text: string): string[] =>
  [...Object.values(SECRETS), 'Zyqq', 'zyqq', '4711'].filter((secret) => text.includes(secret));

it('keeps kind, sentence, code and place of an error, of its causes too, and no message', () => {
  const deep = Object.assign(new Error(`ENOSPC: no space, write '/home/${SECRETS.ownerNote}'`), {
    code: 'ENOSPC',
  });
  const plain = plainError(
    new GarageError(message('error.sqlite.other', { file: SECRETS.plate }), { cause: deep }),
  );
  expect(plain).toMatchObject({
    error: 'GarageError',
    told: 'error.sqlite.other',
    cause: { error: 'Error', code: 'ENOSPC' },
  });
  expect(plain.at[0]).toMatch(/log\.test\.ts:\d+$/);
  expect(plain.cause!.at.length).toBeGreaterThan(0);
  expect(holdsSecrets(JSON.stringify(plain))).toEqual([]);
});

it('a parser that quotes its text, and a schema that refuses a value, give nothing away', () => {
  const thrown = (work: () => unknown): unknown => {
    try {
      return work();
    } catch (error) {
      return error;
    }
  };
  const parser = thrown(() => JSON.parse(`{"plate": ${SECRETS.plate}}`)) as Error;
  expect(parser.message).toContain('ZQX');
  const schema = thrown(() =>
    z.object({ owner: z.record(z.string(), z.number()) }).parse({ owner: { [SECRETS.plate]: SECRETS.vin } }),
  );
  const plain = plainError(schema);
  expect(plain.faults).toEqual(['invalid_type at owner.…']);
  for (const error of [parser, schema]) expect(JSON.stringify(plainError(error))).not.toContain('ZQX');
});

it('no message, name, code or thrown value finds a way in, whatever it looks like', () => {
  const nasty = fc
    .array(
      fc.constantFrom('\n', '    at ', 'SECRET', 'fn (file:///x/y.js:1:2)', ' ', 'Error: ', '(', ')', ':1:1'),
    )
    .map((parts) => parts.join(''));
  fc.assert(
    fc.property(nasty, nasty, nasty, (message, name, code) => {
      const error = Object.assign(new Error(`SECRET${message}`), { code: `${code}SECRET 7` });
      const renamed = Object.assign(new TypeError(`${message}SECRET`), { name: `SECRET ${name}` });
      for (const thrown of [error, renamed, `SECRET${message}`, { SECRET: message }])
        expect(JSON.stringify(plainError(thrown))).not.toContain('SECRET');
    }),
    { numRuns: 2000, seed: 7 },
  );
});

it('stays within two files, leaves out a line that was cut, and disturbs nobody when it cannot be written', () => {
  const folder = temporaryFolder();
  const log = new LogFile(folder);
  for (let i = 0; i < 8000; i++)
    log.write({
      what: 'live',
      phase: 'idle',
      source: null,
      sampleRate_Hz: null,
      lostFrames: i,
      problem: null,
    });
  const sizes = readdirSync(join(folder, 'log')).map((name) => statSync(join(folder, 'log', name)).size);
  expect(sizes).toHaveLength(2);
  for (const size of sizes) expect(size).toBeLessThan(510_000);
  writeFileSync(log.path, '{"what":"started"', { flag: 'a' });
  expect(log.lines().at(-1)).toMatchObject({ lostFrames: 7999 });

  const blocked = temporaryFolder();
  writeFileSync(join(blocked, 'log'), 'a file where the folder should be');
  const silent = new LogFile(blocked);
  silent.error(new Error('x'), 'test');
  expect(silent.lines()).toEqual([]);
});

/** Does all that touches owner data, with things going wrong on the way. */
async function dayInTheShop() {
  const folder = temporaryFolder();
  const app = await openApp({ dataFolder: folder, report: () => {} });
  onTestFinished(() => app.close());
  const ask = async (name: string, input: unknown): Promise<unknown> => {
    const reply = await app.handle(name, input);
    return reply.ok ? reply.value : reply;
  };
  const spec = { label: `car of ${SECRETS.ownerNote}`, layout: 'fwd' };
  const { plate, vin, ownerNote, complaint } = SECRETS;
  const vehicle = (await ask('vehicles.add', { plate, vin: null, ownerNote, spec })) as { id: number };
  expect(vehicle.id).toBeGreaterThan(0);
  await ask('vehicles.add', { plate, vin, ownerNote, spec });
  const visit = (await ask('visits.start', {
    vehicleId: vehicle.id,
    startedAt: '2026-01-01T00:00:00.000Z',
    odometer_km: null,
    complaint,
  })) as { id: number };
  await ask('vehicles.search', { text: `"${plate} OR (` });
  await ask('live.listen', { on: false });
  await ask('live.open', { source: { kind: 'demo' }, visitId: visit.id, channels: [] });
  await ask('live.record', { on: true });
  await new Promise((resolve) => setTimeout(resolve, 600));
  await ask('live.mark', { text: SECRETS.mark });
  await ask('live.record', { on: false });
  await ask('live.close', null);
  // Paths with a name in them, text that is no JSON, a database that says no.
  const broken = join(folder, SECRETS.ownerNote);
  mkdirSync(broken);
  writeFileSync(join(broken, 'visit.json'), `{"plate": ${plate}}`);
  await ask('bundles.import', { folder: broken, vehicleId: null });
  await ask('bundles.export', { visitId: visit.id, folder: join(broken, 'visit.json', plate) });
  await ask('garage.backUp', { folder: join(broken, 'visit.json') });
  await ask('garage.restore', { folder: broken });
  await ask('visits.start', { vehicleId: 999_999, startedAt: plate, odometer_km: null, complaint });
  return { folder, app, ask };
}

it('a day in the shop with faults leaves a log and a support bundle without owner data', {
  timeout: 60_000,
}, async () => {
  const { folder, app, ask } = await dayInTheShop();
  const shown = (await ask('support.show', null)) as { text: string; sha256: string };
  const bundle = JSON.parse(shown.text);
  expect(bundle.garage).toMatchObject({
    faults: 0,
    rows: { vehicle: 2, visit: 1, run: 1 },
    runs: { complete: 1 },
  });
  expect(bundle.recordings).toMatchObject({ files: 1, withoutRun: 0, runsWithoutFile: 0 });
  const requests = bundle.log.filter((line: { what: string }) => line.what === 'error');
  expect(requests.map((line: { request: string }) => line.request)).toEqual(
    expect.arrayContaining(['bundles.export', 'garage.backUp', 'garage.restore']),
  );
  expect(bundle.log.some((line: { phase?: string }) => line.phase === 'recording')).toBe(true);
  const log = readFileSync(join(folder, 'log', 'rumblepath.log'), 'utf8');
  expect(holdsSecrets(log)).toEqual([]);
  expect(holdsSecrets(shown.text)).toEqual([]);
  expect(shown.text).not.toContain(folder);

  // Written is what was seen, and nothing before it was seen.
  const out = temporaryFolder();
  expect(await app.handle('support.write', { folder: out, sha256: '0'.repeat(64) })).toMatchObject({
    ok: false,
  });
  expect(readdirSync(out)).toEqual([]);
  const { path } = (await ask('support.write', { folder: out, sha256: shown.sha256 })) as { path: string };
  expect(readFileSync(path, 'utf8')).toBe(shown.text);
  const nowhere = await app.handle('support.write', { folder: join(out, 'nowhere'), sha256: shown.sha256 });
  expect(inEnglish(nowhere)).toMatchObject({
    ok: false,
    message: expect.stringContaining('was not written'),
  });
  expect(existsSync(join(out, 'nowhere'))).toBe(false);
});
