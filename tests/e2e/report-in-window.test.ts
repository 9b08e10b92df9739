import { execFileSync } from 'node:child_process';
import { existsSync, readdirSync } from 'node:fs';
import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import type { ElectronApplication, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { bundle, out, programEntries, root } from '../../build/bundle.ts';
import { openGarage } from '../../db/open.ts';
import { visitToAnalyse } from '../../electron/findings/visit-to-analyse.ts';
import { RecordingsFolder } from '../../electron/recording/recordings-folder.ts';
import type { Reply, RequestName } from '../../shared/contract/requests.ts';
import { english } from '../../shared/messages/tell.ts';
import { defaultSettings } from '../../shared/visit-work/settings.ts';
import { exampleFindings } from '../report/example.ts';
import { type Display, startDisplay } from './display.ts';
import { type ShellApp, shellApp } from './shell-app.ts';

/** The report and the second language in the real window: Electron prints the PDF itself. */

let display: Display;
let shell: ShellApp;
let electron: ElectronApplication;
let page: Page;
let visitId: number;

/** Through the page's own bridge, as the screens ask. */
async function ask<T>(name: RequestName, input: unknown): Promise<T> {
  const reply = (await page.evaluate(([name, input]) => window.rumblepath!.request(name as never, input), [
    name,
    input,
  ] as const)) as Reply;
  if (!reply.ok) throw new Error(english(reply.told));
  return reply.value as T;
}

beforeAll(async () => {
  await bundle();
  display = await startDisplay();
  shell = await shellApp(join(root, 'electron/shell/main.ts'), join(out, 'renderer'), programEntries());
  await mkdir(shell.dataFolder);
  const garage = openGarage(join(shell.dataFolder, 'garage.db'));
  const { id: vehicleId } = garage.vehicles.add({
    plate: 'RP-E 00418',
    vin: null,
    ownerNote: '',
    spec: { label: 'Window car <b>', layout: 'rwd' },
  });
  const startedAt = '2026-05-12T08:40:00.000Z';
  visitId = garage.visits.start({ vehicleId, startedAt, odometer_km: 90_000, complaint: 'It hums.' }).id;
  const { runIds, madeFrom } = visitToAnalyse(garage, new RecordingsFolder(shell.dataFolder), visitId);
  const findings = exampleFindings();
  garage.findings.keep({ visitId, analysedAt: startedAt, runIds, madeFrom, findings });
  garage.close();
  electron = await shell.launch({ DISPLAY: display.DISPLAY, PATH: '/nowhere' });
  page = await electron.firstWindow();
  await page.getByRole('link', { name: 'Vehicles' }).waitFor();
}, 240_000);

afterAll(async () => {
  await electron?.close();
  display?.close();
  await shell?.remove();
});

it('prints without any browser installed, in a window that nobody sees', async () => {
  const { path } = await ask<{ path: string }>('report.save', { visitId, format: 'pdf' });
  expect(path.startsWith(join(shell.dataFolder, 'reports'))).toBe(true);
  const text = execFileSync('pdftotext', ['-layout', path, '-'], { encoding: 'utf8' });
  expect(text).toContain('Window car <b>');
  expect(text).toContain('The noise is made here: rear differential.');
  const info = execFileSync('pdfinfo', [path], { encoding: 'utf8' });
  expect(info).toMatch(/^Pages:\s+[12]$/m);
  expect(info).toMatch(/^Page size:.*A4/m);
  expect(electron.windows()).toHaveLength(1);
  expect(readdirSync(join(shell.dataFolder, 'reports')).filter((n) => n.startsWith('.'))).toEqual([]);
  expect(existsSync(path)).toBe(true);
}, 60_000);

it('opens the system’s own dialog for a folder, from where the path stands', async () => {
  await electron.evaluate(({ dialog }) => {
    const asked: unknown[] = [];
    const answers = [['/somewhere/else'], []];
    Object.assign(globalThis, { asked });
    dialog.showOpenDialog = (async (...args: unknown[]) => {
      asked.push(args.at(-1));
      const filePaths = answers.shift()!;
      return { canceled: filePaths.length === 0, filePaths };
    }) as typeof dialog.showOpenDialog;
  });
  await page.getByRole('link', { name: 'Backup' }).press('Enter');
  const backup = page.locator('form').filter({ hasText: 'Back up the whole garage' });
  await backup.getByLabel('Folder').fill('/somewhere');
  await backup.getByRole('button', { name: 'Choose …' }).press('Enter');
  await expect.poll(() => backup.getByLabel('Folder').inputValue()).toBe('/somewhere/else');
  // Closed without a choice, it leaves what was there.
  await backup.getByRole('button', { name: 'Choose …' }).press('Enter');
  const asked = () => electron.evaluate(() => (globalThis as unknown as { asked: unknown[] }).asked);
  await expect.poll(async () => (await asked()).length).toBe(2);
  expect(await backup.getByLabel('Folder').inputValue()).toBe('/somewhere/else');
  expect(await asked()).toMatchObject([
    { defaultPath: '/somewhere', properties: expect.arrayContaining(['openDirectory']) },
    { defaultPath: '/somewhere/else' },
  ]);
});

it('speaks German as soon as the settings say so, in screens and report', async () => {
  const settings = { ...defaultSettings(), language: 'de' as const };
  await ask('settings.save', { settings });
  await page.reload();
  await page.getByRole('link', { name: 'Fahrzeuge' }).waitFor();
  expect(await page.evaluate(() => document.documentElement.lang)).toBe('de');
  const { html } = await ask<{ html: string }>('report.preview', { visitId });
  expect(html).toContain('Das Geräusch entsteht hier: Hinterachsgetriebe.');
}, 60_000);
