import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const projectRoot = fileURLToPath(new URL('..', import.meta.url));

/**
 * @param {...string} parts
 * @returns {string}
 */
export function inProject(...parts) {
  return join(projectRoot, ...parts);
}
