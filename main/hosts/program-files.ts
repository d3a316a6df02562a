import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/**
 * Where the program's own files lie. Sources (main/hosts/) and built files (dist/main/) are both two folders deep, so
 * that the same relative address finds the root from either.
 */
const root = new URL('../../', import.meta.url);
const isBuilt = import.meta.url.endsWith('.js');

export const rendererFolder = fileURLToPath(new URL('dist/renderer/', root));

export const preloadFile = fileURLToPath(new URL('dist/main/preload.cjs', root));

export const readerEntry = fileURLToPath(
  isBuilt
    ? new URL('./reader-process.js', import.meta.url)
    : new URL('main/amplifier/reader-process.ts', root),
);

export const recordingWriterEntry = fileURLToPath(
  isBuilt
    ? new URL('./recording-writer-thread.js', import.meta.url)
    : new URL('main/storage/recording-writer-thread.ts', root),
);

export const workEntry = fileURLToPath(
  isBuilt ? new URL('./work-thread.js', import.meta.url) : new URL('main/work/work-thread.ts', root),
);

/** Travels in every data package; built beside the services. */
export const recomputeFile = fileURLToPath(new URL('dist/main/recompute.mjs', root));

export function readSoftwareVersion(): string {
  const manifest = JSON.parse(readFileSync(new URL('package.json', root), 'utf8')) as { version: string };
  return manifest.version;
}
