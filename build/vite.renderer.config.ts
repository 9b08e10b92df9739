import { resolve } from 'node:path';
import react from '@vitejs/plugin-react';
import { defineConfig, type Plugin } from 'vite';

const root = resolve(import.meta.dirname, '..');

/** What a screen may load and where it may connect: nothing but what the program itself serves. */
export const CONTENT_SECURITY_POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; " +
  "font-src 'self'; connect-src 'self'";

/**
 * Writes the policy into the built page, so that it also holds where no server sends a header. The development
 * server is left out: its reload client writes inline styles.
 */
function contentSecurityPolicy(): Plugin {
  return {
    name: 'content-security-policy',
    apply: 'build',
    transformIndexHtml: () => [
      {
        tag: 'meta',
        attrs: { 'http-equiv': 'Content-Security-Policy', content: CONTENT_SECURITY_POLICY },
        injectTo: 'head-prepend',
      },
    ],
  };
}

export default defineConfig({
  root: resolve(root, 'renderer'),
  // Relative, because the Electron shell and the loopback host serve the page from different roots.
  base: './',
  publicDir: false,
  plugins: [react(), contentSecurityPolicy()],
  build: {
    outDir: resolve(root, 'build/out/renderer'),
    emptyOutDir: true,
    target: 'chrome130',
    // The policy allows fonts from files only, not from data: addresses.
    assetsInlineLimit: 0,
    // Read from the disk of the same machine: one file is the fastest.
    chunkSizeWarningLimit: 2000,
  },
});
