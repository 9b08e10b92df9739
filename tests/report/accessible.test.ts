import { AxeBuilder } from '@axe-core/playwright';
import { type Browser, chromium } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { findBrowser, sandboxSwitches } from '../../electron/host/browser.ts';
import { reportOf } from '../../shared/report/report.ts';
import { exampleReport } from './example.ts';

/** The report's own page, which axe cannot enter where the screens show it: its frame runs no scripts. */

let browser: Browser;
beforeAll(async () => {
  browser = await chromium.launch({ executablePath: findBrowser()!, args: sandboxSwitches() });
});
afterAll(() => browser?.close());

it.each(['en', 'de'] as const)('has no fault that axe finds, in %s', async (language) => {
  const example = exampleReport();
  const data = { ...example, settings: { ...example.settings, language } };
  // The report's policy forbids every script, axe's own too.
  const context = await browser.newContext({ bypassCSP: true });
  const page = await context.newPage();
  await page.setContent(reportOf(data));
  const { violations } = await new AxeBuilder({ page }).analyze();
  expect(violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target).join(' ')}`)).toEqual([]);
  await context.close();
});
