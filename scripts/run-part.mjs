import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { projectRoot } from './project-root.mjs';

/**
 * @typedef {object} PartResult
 * @property {string} name
 * @property {boolean} isGood
 * @property {string} output everything that it printed
 */

/**
 * Runs one part of a check with its output held back: one line when it passes, all of it when it fails.
 *
 * @param {string} name
 * @param {string[]} commandLine a program of node_modules/.bin and its arguments
 * @returns {Promise<PartResult>}
 */
export async function runPart(name, commandLine) {
  const startedAt = performance.now();
  const { isGood, output } = await run(commandLine);
  const seconds = ((performance.now() - startedAt) / 1000).toFixed(1).padStart(6);
  console.log(`${isGood ? 'ok    ' : 'FAILED'} ${seconds} s  ${name}`);
  if (!isGood) console.log(output.trimEnd());
  return { name, isGood, output };
}

/** @param {string[]} commandLine */
async function run([program = '', ...programArguments]) {
  // npm puts node_modules/.bin first on the path of its scripts; npx makes this hold for `node scripts/...` as well.
  const child = spawn('npx', ['--no-install', program, ...programArguments], {
    cwd: projectRoot,
    shell: process.platform === 'win32',
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  /** @type {Buffer[]} */
  const chunks = [];
  for (const stream of [child.stdout, child.stderr])
    stream.on('data', (/** @type {Buffer} */ chunk) => chunks.push(chunk));
  const [exitCode] = /** @type {[number | null]} */ (await once(child, 'close'));
  return { isGood: exitCode === 0, output: Buffer.concat(chunks).toString('utf8') };
}
