import { readdir, readFile } from 'node:fs/promises';
import { extname, join, sep } from 'node:path';

/** The built screens, held in memory, as both the window's protocol and the loopback host hand them out. */

const TYPES: Record<string, string> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.ico': 'image/x-icon',
  '.woff': 'font/woff',
  '.woff2': 'font/woff2',
  '.wasm': 'application/wasm',
  '.map': 'application/json; charset=utf-8',
};

/**
 * Nothing comes from anywhere but the program itself; `'self'` covers the bus of the loopback host too.
 * Style properties set from script are allowed by CSP, style text in the page is not.
 */
const CONTENT_SECURITY_POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self' data: blob:",
  "font-src 'self'",
  "connect-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ');

export const SECURITY_HEADERS: Readonly<Record<string, string>> = {
  'Content-Security-Policy': CONTENT_SECURITY_POLICY,
  'X-Content-Type-Options': 'nosniff',
  'X-Frame-Options': 'DENY',
  'Referrer-Policy': 'no-referrer',
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'Permissions-Policy': 'camera=(), display-capture=(), geolocation=(), microphone=(), usb=()',
  'Cache-Control': 'no-cache',
};

export interface ScreenFile {
  readonly type: string;
  readonly body: Buffer<ArrayBuffer>;
}

/** The file for a URL path, or nothing. A path is only ever a key here, so none can lead out of the folder. */
export type Screens = (pathname: string) => ScreenFile | undefined;

/**
 * Reads the built screens.
 * @throws when the folder is missing or holds no index.html
 */
export async function loadScreens(rendererDir: string): Promise<Screens> {
  const files = new Map<string, ScreenFile>();
  for (const entry of await readdir(rendererDir, { recursive: true, withFileTypes: true })) {
    const type = TYPES[extname(entry.name)];
    if (!entry.isFile() || type === undefined) continue;
    const path = join(entry.parentPath, entry.name);
    const key = path.slice(rendererDir.length).split(sep).join('/');
    files.set(key.startsWith('/') ? key : `/${key}`, { type, body: await readFile(path) });
  }
  const index = files.get('/index.html');
  if (index === undefined) throw new Error(`${rendererDir} holds no index.html: run npm run build.`);
  files.set('/', index);
  return (pathname) => files.get(pathname);
}
