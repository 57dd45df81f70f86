// Vite and Vitest of versions that Debian 12's own Node runs.
import { defineConfig } from 'vitest/config';

declare const process: { env: Record<string, string | undefined> };

// Set BUCKRAM_SERVER to the address of a running server to work on the page with `npm run dev`.
const server = process.env.BUCKRAM_SERVER;

export default defineConfig({
  esbuild: { jsx: 'automatic', jsxImportSource: 'preact' },
  build: {
    target: 'es2022',
    assetsInlineLimit: 0, // the page's policy allows no data: addresses
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 900,
  },
  server: server ? { proxy: { '/api': server } } : {},
  test: { environment: 'node' }, // a test of what is drawn into a document asks for one itself
});
