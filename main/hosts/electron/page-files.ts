import { readFile } from 'node:fs/promises';
import { extname, join, sep } from 'node:path';
import { contentSecurityPolicy } from '../content-security-policy.ts';

/**
 * The page comes over a scheme of its own: unlike file:, it has an origin, a policy and no way to the rest of the disk.
 */
export const pageScheme = 'proofarm';
const pageOrigin = `${pageScheme}://page`;
export const pageAddress = `${pageOrigin}/`;

const mediaTypes: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.woff2': 'font/woff2',
};

export function isOwnPage(address: string): boolean {
  return address.startsWith(pageAddress);
}

/** Null for what lies outside the folder or is of no kind that the page is made of. */
export function fileOfPage(rendererFolder: string, address: string): string | null {
  if (!isOwnPage(address)) return null;
  let path: string;
  try {
    path = decodeURIComponent(new URL(address).pathname);
  } catch {
    return null;
  }
  if (path.includes('\0') || path.includes('\\')) return null;
  // A path without an extension is a place inside the page.
  if (extname(path) === '') return join(rendererFolder, 'index.html');
  const file = join(rendererFolder, path);
  const folder = rendererFolder.endsWith(sep) ? rendererFolder : rendererFolder + sep;
  return file.startsWith(folder) && Object.hasOwn(mediaTypes, extname(file)) ? file : null;
}

/** Answers a request for one of the page's files. */
export async function respondWithPageFile(rendererFolder: string, address: string): Promise<Response> {
  const file = fileOfPage(rendererFolder, address);
  const content = file === null ? null : await readIfThere(file);
  if (file === null || content === null) return new Response('There is no such file.\n', { status: 404 });
  return new Response(content, {
    headers: {
      'Content-Type': mediaTypes[extname(file)] ?? 'application/octet-stream',
      'Content-Security-Policy': contentSecurityPolicy(),
      'X-Content-Type-Options': 'nosniff',
    },
  });
}

async function readIfThere(file: string): Promise<Uint8Array<ArrayBuffer> | null> {
  try {
    return new Uint8Array(await readFile(file));
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return null;
    throw error;
  }
}
