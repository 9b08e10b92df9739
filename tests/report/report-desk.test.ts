import { mkdirSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, it } from 'vitest';
import type { Garage } from '../../db/open.ts';
import { AnalysisDesk } from '../../electron/findings/analysis-desk.ts';
import { visitToAnalyse } from '../../electron/findings/visit-to-analyse.ts';
import { RecordingsFolder } from '../../electron/recording/recordings-folder.ts';
import { ReportDesk, reportName } from '../../electron/report/report-desk.ts';
import { ReportError } from '../../electron/report/report-error.ts';
import { writeWhole } from '../../electron/report/write-whole.ts';
import { sha256Of } from '../../electron/visit-work/attachments-folder.ts';
import { saveSettings } from '../../electron/visit-work/shop-settings.ts';
import { VisitDesk } from '../../electron/visit-work/visit-desk.ts';
import { message } from '../../shared/messages/message.ts';
import { defaultSettings } from '../../shared/visit-work/settings.ts';
import { newGarage, temporaryFolder } from '../db/temporary.ts';
import { exampleFindings, exampleReport } from './example.ts';

let folder: string;
let garage: Garage;
let visitId: number;
let runId: number;
let printed: string[];
let desk: ReportDesk;

beforeEach(() => {
  folder = temporaryFolder();
  garage = newGarage(join(folder, 'garage.db'));
  const { id: vehicleId } = garage.vehicles.add({
    plate: 'RP-E 00417',
    vin: null,
    ownerNote: '',
    spec: { label: '../Estate car "Ü"', layout: 'rwd' },
  });
  const startedAt = '2026-05-12T08:40:00.000Z';
  visitId = garage.visits.start({ vehicleId, startedAt, odometer_km: 148_200, complaint: 'It whines.' }).id;
  const [example] = exampleReport().runs;
  runId = garage.runs.start({
    visitId,
    startedAt,
    file: 'run.wav',
    sampleRate_Hz: 48_000,
    channels: example!.channels.map(({ channel, position }) => ({
      channel,
      role: 'vibration' as const,
      position,
      fullScale_m_s2: 500,
    })),
    orderLines: [],
  }).id;
  garage.runs.addSegment(runId, { from_s: 0, to_s: 60, state: 'coast' });
  garage.runs.addSpeed(runId, { t_s: [10, 20, 90], v_km_h: [81, 78, 20] });
  garage.runs.finish(runId, 48_000 * 95);
  const recordings = new RecordingsFolder(folder);
  const { madeFrom } = visitToAnalyse(garage, recordings, visitId);
  garage.findings.keep({
    visitId,
    analysedAt: startedAt,
    runIds: [runId],
    madeFrom,
    findings: exampleFindings(),
  });
  printed = [];
  desk = new ReportDesk({
    garage,
    dataFolder: folder,
    analysis: new AnalysisDesk({
      garage,
      recordings,
      ensureSound: async () => {},
      onProgress: () => {},
    }),
    mayAnalyse: () => true,
    printPdf: async (html) => {
      printed.push(html);
      return Buffer.from('%PDF-1.4 << /Type /Page >>');
    },
  });
});

describe('the report of a visit', () => {
  it('holds what the garage knows', async () => {
    const data = await desk.data(visitId);
    expect(data).toMatchObject({
      visitId,
      odometer_km: 148_200,
      complaint: 'It whines.',
      vehicle: { plate: 'RP-E 00417', layout: 'rwd' },
      runs: [{ duration_s: 95, states: ['coast'], speed_km_h: { low: 78, high: 81 } }],
      inspection: null,
      decision: null,
      comparison: null,
    });
    expect(data.findings!.verdict).toBe('pinpointed');
    expect(await desk.html(visitId)).toContain('It whines.');
  });

  it('follows the settings: shop, logo, language and units', async () => {
    const png = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
    mkdirSync(join(folder, 'attachments'), { recursive: true });
    writeFileSync(join(folder, 'attachments/logo.png'), png);
    const logo = garage.attachments.add(
      {
        visitId: null,
        name: 'logo',
        mediaType: 'image/png',
        bytes: png.length,
        sha256: sha256Of(png),
        addedAt: '2026-05-12T08:40:00.000Z',
      },
      'logo.png',
    );
    const settings = defaultSettings();
    saveSettings(garage, {
      ...settings,
      language: 'de',
      units: 'imperial',
      shop: { name: 'Hollow Lane Motor Works', address: '', logoId: logo.id },
    });
    const html = await desk.html(visitId);
    expect(html).toContain('Hollow Lane Motor Works');
    expect(html).toContain(`src="data:image/png;base64,${png.toString('base64')}"`);
    expect(html).toContain('Das Geräusch entsteht hier');
    expect(html).toContain('92.087 mi');
    // A logo that was damaged is left out, and the report goes on.
    writeFileSync(join(folder, 'attachments/logo.png'), 'damaged');
    expect(await desk.html(visitId)).not.toContain('<img');
  });

  it('holds inspection and decision once they are saved', async () => {
    const work = new VisitDesk(garage);
    const { inspection, decision } = exampleReport();
    work.saveInspection(visitId, inspection!);
    work.saveDecision(visitId, decision!);
    const html = await desk.html(visitId);
    expect(html).toContain('no price yet');
    saveSettings(garage, { ...defaultSettings(), labourRate_per_h: 95, tax_percent: 19 });
    expect(await desk.html(visitId)).toContain('€2,294.67');
  });

  it('shows what was found earlier when the recordings are gone, and says when nothing was', async () => {
    garage.runs.addMark(runId, { at_s: 1, text: 'changed since' });
    const run = garage.runs.start({ ...garage.runs.get(runId), file: 'gone.wav' });
    garage.runs.finish(run.id, 48_000);
    expect((await desk.data(visitId)).findings!.verdict).toBe('pinpointed');
    const { vehicleId } = garage.visits.get(visitId);
    const empty = garage.visits.start({
      vehicleId,
      startedAt: '2026-06-12T08:40:00.000Z',
      odometer_km: null,
      complaint: '',
    });
    const html = await desk.html(empty.id);
    expect(html).toContain('Nothing has been measured in this visit');
    expect(html).toContain('Nothing of the visit of 12 May 2026 can be compared');
  });

  it('compares with the visit before', async () => {
    const { vehicleId } = garage.visits.get(visitId);
    const startedAt = '2025-05-12T08:40:00.000Z';
    const before = garage.visits.start({ vehicleId, startedAt, odometer_km: null, complaint: '' });
    const { id } = garage.runs.start({ ...garage.runs.get(runId), visitId: before.id, file: 'before.wav' });
    garage.runs.finish(id, 48_000);
    expect((await desk.data(visitId)).comparison).toMatchObject({ earlierAt: startedAt, differences: [] });
  });
});

describe('saving', () => {
  it('writes into the data folder’s reports under a name of letters, digits and hyphens', async () => {
    const html = await desk.save(visitId, 'html');
    const pdf = await desk.save(visitId, 'pdf');
    const names = readdirSync(join(folder, 'reports')).sort();
    expect(names).toHaveLength(2);
    for (const name of names) expect(name).toMatch(/^report-\d+-estate-car-u-\d{4}-\d\d-\d\d\.(html|pdf)$/);
    expect(readFileSync(html, 'utf8')).toContain('<!doctype html>');
    expect(readFileSync(pdf, 'latin1')).toMatch(/^%PDF/);
    expect(printed).toHaveLength(1);
  });

  it('keeps the name safe whatever the vehicle is called', () => {
    const data = exampleReport();
    for (const label of ['../../etc/passwd', 'CON', '日本', '.', 'a\u0000b', 'x'.repeat(500), '']) {
      const name = reportName({ ...data, vehicle: { ...data.vehicle, label } });
      expect(name).toMatch(/^report-17(-[a-z0-9-]{1,40})?-2026-05-12$/);
    }
  });

  it('leaves nothing behind when it cannot print', async () => {
    const failing = new ReportDesk({
      garage,
      dataFolder: folder,
      analysis: new AnalysisDesk({
        garage,
        recordings: new RecordingsFolder(folder),
        ensureSound: async () => {},
        onProgress: () => {},
      }),
      mayAnalyse: () => true,
      printPdf: async () => {
        throw new ReportError(message('written', { text: 'no printer' }));
      },
    });
    await expect(failing.save(visitId, 'pdf')).rejects.toThrow('no printer');
    expect(readdirSync(folder)).not.toContain('reports');
  });

  it('replaces a whole report by a whole one, or leaves it as it was', async () => {
    const path = join(folder, 'report.html');
    await writeWhole(path, 'first');
    await writeWhole(path, 'second');
    expect(readFileSync(path, 'utf8')).toBe('second');
    mkdirSync(join(folder, 'taken.html'));
    await expect(writeWhole(join(folder, 'taken.html'), 'x')).rejects.toBeInstanceOf(ReportError);
    await expect(writeWhole(join(folder, 'nowhere/x.html'), 'x')).rejects.toThrow(/could not be written/);
    expect(readdirSync(folder).filter((name) => name.endsWith('.unfinished'))).toEqual([]);
    // Through a link the target would be overwritten; the link itself is replaced.
    writeFileSync(join(folder, 'precious'), 'kept');
    symlinkSync(join(folder, 'precious'), join(folder, 'link.html'));
    await writeWhole(join(folder, 'link.html'), 'report');
    expect(readFileSync(join(folder, 'precious'), 'utf8')).toBe('kept');
  });
});
