// Build settings. Nothing may be inlined as data, because the page runs under a strict content security policy.
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  plugins: [svelte()],
  base: './',
  build: {
    outDir: 'dist',
    target: 'es2022',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    reportCompressedSize: true,
  },
  server: { proxy: { '/api': 'http://127.0.0.1:7415' } },
  test: { include: ['src/**/*.test.ts'], environment: 'node' },
});
