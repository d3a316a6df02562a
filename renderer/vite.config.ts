import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';

export default defineConfig({
  root: import.meta.dirname,
  plugins: [react()],
  build: {
    outDir: '../dist/renderer',
    emptyOutDir: true,
    target: 'chrome120',
    // The content security policy lets no file come as a data: address except pictures.
    assetsInlineLimit: 0,
    // It would add an inline script for browsers that do not preload modules; those that run this do.
    modulePreload: { polyfill: false },
    // The page comes from this machine, so one file is the quickest.
    chunkSizeWarningLimit: 3000,
  },
});
