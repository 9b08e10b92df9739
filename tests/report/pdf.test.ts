import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { printWithBrowser } from '../../electron/report/print-pdf.ts';
import { ReportError } from '../../electron/report/report-error.ts';
import { pageCount, reportPdf } from '../../electron/report/report-pdf.ts';
import type { ReportData } from '../../shared/report/report-data.ts';
import { exampleReport } from './example.ts';

/** Read back with poppler's own tools: `pdfinfo`, `pdftotext`, `pdftoppm`. */

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'rumblepath-pdf-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function printed(name: string, data: ReportData) {
  const path = join(folder, `${name}.pdf`);
  const bytes = await reportPdf(data, printWithBrowser());
  writeFileSync(path, bytes);
  const info = execFileSync('pdfinfo', [path], { encoding: 'utf8' });
  return {
    path,
    bytes,
    pages: Number(/^Pages:\s+(\d+)/m.exec(info)![1]),
    size: /^Page size:\s+(.*)$/m.exec(info)![1]!,
    text: execFileSync('pdftotext', ['-layout', path, '-'], { encoding: 'utf8' }).replace(/\s+/g, ' '),
  };
}

/** Everything as long as the forms let it be. */
function longest(data: ReportData): ReportData {
  const words = (n: number) => 'overlong words about a rumbling noise '.repeat(n);
  const [unit] = data.inspection!.units;
  const part = (i: number) => ({ name: words(3), quantity: 1.5, unitPrice: 1234.5 + i });
  const cost = { parts: Array.from({ length: 50 }, (_, i) => part(i)), labour_h: 12.5 };
  const option = { cost, later: { probability: 0.35, from: 'technician' as const } };
  const wheels = ['front-left', 'front-right', 'rear-left', 'rear-right'] as const;
  const [difference] = data.comparison!.differences;
  const [run] = data.runs;
  return {
    ...data,
    settings: { ...data.settings, shop: { name: words(3), address: words(8), logo: null } },
    complaint: words(100),
    vehicle: { ...data.vehicle, label: words(5), electricDrive: null },
    runs: Array.from({ length: 9 }, () => run!),
    inspection: {
      wheels: wheels.map((wheel) => ({
        wheel,
        play: 'clear',
        drag: 'binding',
        tyreWear: 'outerShoulder',
        note: words(20),
      })),
      units: (['differential-front', 'differential-rear', 'transfer-case', 'transmission'] as const).map(
        (u) => ({ ...unit!, unit: u, debris: 'chips', note: words(20) }),
      ),
      note: words(50),
    },
    decision: {
      ...data.decision!,
      options: { replace: option, watch: option, test: option, nothing: option },
      reason: words(50),
    },
    comparison: { ...data.comparison!, differences: Array.from({ length: 40 }, () => difference!) },
  };
}

describe('as a PDF', () => {
  it('has one or two A4 pages with the words and figures of the visit', async () => {
    const { pages, size, text, bytes } = await printed('english', exampleReport());
    expect(pages).toBe(2);
    expect(pageCount(bytes)).toBe(pages);
    expect(size).toContain('A4');
    for (const said of [
      'Hollow Lane Motor Works',
      'The noise is made here: rear differential.',
      'Certainty 97%',
      'Compared with the visit of 12 May 2025',
      '€2,294.67',
      '€923.58',
      'whichever comes first',
      'Owner, date: the report has been explained to me',
    ]) {
      expect(text).toContain(said);
    }
  }, 60_000);

  it('is legible in black and white: dark type on a white page', async () => {
    const { path } = await printed('pictures', exampleReport());
    execFileSync('pdftoppm', ['-r', '40', '-gray', path, join(folder, 'page')]);
    for (const page of ['page-1.pgm', 'page-2.pgm']) {
      const picture = readFileSync(join(folder, page));
      // PGM: three numbers behind P5, a byte of white space, then a byte for each pixel.
      const header = /^P5\s+(\d+)\s+(\d+)\s+255\s/.exec(picture.subarray(0, 40).toString('latin1'))!;
      const pixels = picture.subarray(header[0].length);
      const share = (test: (grey: number) => boolean) => pixels.filter(test).length / pixels.length;
      expect(pixels.length).toBe(Number(header[1]) * Number(header[2]));
      expect(share((grey) => grey > 240)).toBeGreaterThan(0.6);
      expect(share((grey) => grey < 96)).toBeGreaterThan(0.01);
    }
  }, 60_000);

  it('keeps to two pages in German with everything as long as the forms allow', async () => {
    const data = longest(exampleReport());
    const german = { ...data, settings: { ...data.settings, language: 'de' as const } };
    const { pages, text } = await printed('longest', german);
    expect(pages).toBe(2);
    expect(text).toContain('NICHT FAHREN');
    expect(text).toContain('Halter, Datum: Der Bericht ist mir erklärt worden');
  }, 60_000);

  it('needs one page for a drive alone', async () => {
    const alone = { ...exampleReport(), inspection: null, decision: null, comparison: null, heard: null };
    const { pages } = await printed('alone', alone);
    expect(pages).toBe(1);
  }, 60_000);
});

describe('without a working browser', () => {
  it('says in one sentence what to do', async () => {
    const none = printWithBrowser({ PATH: folder });
    await expect(none('<p>')).rejects.toThrow(/^A PDF needs Chromium or Chrome.*save the report as HTML/);
    const broken = printWithBrowser({ RUMBLEPATH_BROWSER: '/bin/false' });
    await expect(broken('<p>')).rejects.toBeInstanceOf(ReportError);
  });
});
