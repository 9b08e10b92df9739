import { spawn } from 'node:child_process';
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { message } from '../../shared/messages/message.ts';
import { findBrowser, sandboxSwitches } from '../host/browser.ts';
import { ReportError } from './report-error.ts';

/** Turns a report's HTML into a PDF; rejects with one sentence when this computer cannot. */
export type PrintPdf = (html: string) => Promise<Uint8Array>;

const LONGEST_MS = 60_000;

/** @throws {ReportError} when there is none */
export function requireBrowser(env: NodeJS.ProcessEnv = process.env): string {
  const browser = findBrowser(env);
  if (browser !== undefined) return browser;
  throw new ReportError(message('error.noBrowserForPdf'));
}

/** Prints with an installed Chromium or Chrome, without a window, a profile of the user's or a network. */
export const printWithBrowser =
  (env: NodeJS.ProcessEnv = process.env): PrintPdf =>
  async (html) => {
    const browser = requireBrowser(env);
    const folder = await mkdtemp(join(tmpdir(), 'rumblepath-report-'));
    try {
      const [page, pdf] = [join(folder, 'report.html'), join(folder, 'report.pdf')];
      await writeFile(page, html);
      await run(browser, [
        '--headless',
        ...sandboxSwitches(),
        '--disable-gpu',
        '--no-first-run',
        '--disable-extensions',
        '--disable-background-networking',
        '--disable-sync',
        '--host-resolver-rules=MAP * ~NOTFOUND',
        '--password-store=basic',
        `--user-data-dir=${join(folder, 'profile')}`,
        '--no-pdf-header-footer',
        `--print-to-pdf=${pdf}`,
        pathToFileURL(page).href,
      ]);
      return await readFile(pdf);
    } catch (cause) {
      throw new ReportError(message('error.pdfNotMade', { browser }), { cause });
    } finally {
      await rm(folder, { recursive: true, force: true, maxRetries: 10 });
    }
  };

function run(program: string, args: readonly string[]): Promise<void> {
  return new Promise((resolve, reject) => {
    const child = spawn(program, args, { stdio: 'ignore', timeout: LONGEST_MS, killSignal: 'SIGKILL' });
    child.once('error', reject);
    child.once('exit', (code, signal) =>
      code === 0 ? resolve() : reject(new Error(`${program} ended with ${signal ?? `exit code ${code}`}`)),
    );
  });
}
