import { createReadStream } from 'node:fs';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { extname, join, normalize } from 'node:path';
import { type Browser, chromium, type Page } from 'playwright-core';
import { build } from 'vite';
import { CONTENT_SECURITY_POLICY } from '../../build/vite.renderer.config.ts';

const root = join(import.meta.dirname, '../..');
const TYPES: Record<string, string> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.woff2': 'font/woff2',
  '.woff': 'font/woff',
};

export interface PageOptions {
  width?: number;
  height?: number;
  theme?: 'day' | 'night';
  channels?: number;
  /** Without it the page looks for a loopback host, which is not there. */
  bridge?: boolean;
  /** Hash route, `/live` and so on. */
  at?: string;
}

export interface Screens {
  /** The built screens in a fresh browser context, with the fake main side behind them. */
  open(options?: PageOptions): Promise<Page>;
  /** Console errors, page errors and policy violations of all pages so far. */
  readonly complaints: string[];
  close(): Promise<void>;
}

/** Builds the screens once and serves them with the policy as a header, as the loopback host does. */
export async function startScreens(): Promise<Screens> {
  const out = await mkdtemp(join(tmpdir(), 'rumblepath-screens-'));
  const fake = join(out, 'fake');
  await build({
    configFile: join(root, 'build/vite.renderer.config.ts'),
    logLevel: 'warn',
    build: { outDir: join(out, 'screens'), emptyOutDir: true },
  });
  await build({
    configFile: false,
    logLevel: 'warn',
    publicDir: false,
    build: {
      outDir: fake,
      emptyOutDir: true,
      minify: false,
      lib: {
        entry: join(root, 'tests/renderer/fake-preload.ts'),
        formats: ['iife'],
        name: 'fakePreload',
        fileName: () => 'fake.js',
      },
    },
  });
  const preload = await readFile(join(fake, 'fake.js'), 'utf8');

  const server = createServer((request, response) => {
    const path = normalize(new URL(request.url!, 'http://local').pathname);
    const file = join(out, 'screens', path === '/' ? 'index.html' : path);
    response.setHeader('Content-Security-Policy', CONTENT_SECURITY_POLICY);
    response.setHeader('Content-Type', TYPES[extname(file)] ?? 'application/octet-stream');
    createReadStream(file)
      .on('error', () => response.writeHead(404).end())
      .pipe(response);
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const address = `http://127.0.0.1:${(server.address() as AddressInfo).port}/`;
  const browser: Browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: ['--no-sandbox'],
  });
  const complaints: string[] = [];

  return {
    complaints,
    async open({ width = 1280, height = 800, theme = 'day', channels = 8, at = '/', bridge = true } = {}) {
      const context = await browser.newContext({ viewport: { width, height }, reducedMotion: 'reduce' });
      await context.addInitScript(`
        window.fakeChannels = ${channels};
        if (!localStorage.getItem('rumblepath.screen'))
          localStorage.setItem('rumblepath.screen',
            JSON.stringify({ state: { theme: ${JSON.stringify(theme)} }, version: 0 }));
        ${bridge ? preload : ''}`);
      const page = await context.newPage();
      page.on('pageerror', (error) => complaints.push(String(error)));
      page.on('console', (message) => {
        if (message.type() === 'error') complaints.push(message.text());
      });
      await page.goto(`${address}#${at}`);
      return page;
    },
    async close() {
      await browser.close();
      await new Promise((resolve) => server.close(resolve));
      await rm(out, { recursive: true, force: true });
    },
  };
}
