import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { openGarage } from '../../db/open.ts';
import { findBrowser, sandboxSwitches } from '../../electron/host/browser.ts';
import { serveLoopback } from '../../electron/host/serve.ts';
import { openApp } from '../../electron/service/open-app.ts';
import { seedLargeGarage } from '../../seeds/garage/large-garage.ts';
import { bundle, out } from '../bundle.ts';

export interface StartFigures {
  readonly vehicles: number;
  /** Opening the garage, repairing, standing ready for a screen. */
  readonly app_ms: number;
  /** From the beginning of that to the list of vehicles on the screen, ready to be typed into. */
  readonly window_ms: number;
}

/**
 * Starts the program on a large garage in a browser that runs already: what the program adds to the start of the
 * shell. `null` figures where no browser is installed.
 */
export async function benchStart(options: {
  vehicles: number;
  visitsPerVehicle: number;
}): Promise<StartFigures | null> {
  const executablePath = findBrowser();
  if (executablePath === undefined) return null;
  await bundle();
  const dataFolder = mkdtempSync(join(tmpdir(), 'rumblepath-bench-'));
  const garage = openGarage(join(dataFolder, 'garage.db'));
  seedLargeGarage(garage, { ...options, seed: 1 });
  garage.close();
  const browser = await chromium.launch({ executablePath, args: sandboxSwitches() });
  try {
    const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
    const start = performance.now();
    const app = await openApp({ dataFolder });
    const app_ms = performance.now() - start;
    const loopback = await serveLoopback(app, { rendererDir: join(out, 'renderer') });
    await page.goto(loopback.url);
    await page.locator('a[data-row]').first().waitFor();
    const window_ms = performance.now() - start;
    await loopback.close();
    await app.close();
    return { vehicles: options.vehicles, app_ms, window_ms };
  } finally {
    await browser.close();
    rmSync(dataFolder, { recursive: true, force: true });
  }
}
