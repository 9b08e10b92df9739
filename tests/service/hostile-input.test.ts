import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, expect, it } from 'vitest';
import type { App } from '../../electron/service/app.ts';
import { openApp } from '../../electron/service/open-app.ts';
import { VISIT_WORK_REQUESTS } from '../../shared/contract/visit-work-requests.ts';
import { english } from '../../shared/messages/tell.ts';

let folder: string;
let app: App;
const reported: unknown[] = [];

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'rumblepath-hostile-'));
  app = await openApp({ dataFolder: folder, report: (error) => reported.push(error) });
  await app.handle('work.begin', { vehicleId: null });
});
afterAll(async () => {
  await app.close();
  rmSync(folder, { recursive: true, force: true });
});

/** Any JSON, and JSON that has the request's keys with any values, so that some of it gets further in. */
const anything = (keys: readonly string[]) =>
  fc.oneof(
    fc.jsonValue({ maxDepth: 3 }),
    fc.record(
      Object.fromEntries(
        keys.map((key) => [key, fc.oneof(fc.constant(1), fc.constant(null), fc.jsonValue({ maxDepth: 3 }))]),
      ),
    ),
  );

it.each(Object.keys(VISIT_WORK_REQUESTS))('%s answers any input with a value or a sentence', async (name) => {
  const { input } = VISIT_WORK_REQUESTS[name as keyof typeof VISIT_WORK_REQUESTS];
  const keys = 'shape' in input ? Object.keys(input.shape) : [];
  await fc.assert(
    fc.asyncProperty(anything(keys), async (value) => {
      const reply = await app.handle(name, value);
      if (!reply.ok) expect(english(reply.told).length).toBeGreaterThan(0);
    }),
    { numRuns: 60, seed: 11 },
  );
  // Nothing got so far that only the log could tell what went wrong.
  expect(reported).toEqual([]);
});
