import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';
import module from 'node:module';
import { setTimeout as wait } from 'node:timers/promises';
import { pathToFileURL } from 'node:url';
import { buildStaleParts } from './build-parts.mjs';
import { sandboxArguments } from './find-browser.mjs';
import { findElectron, hasDisplay, openWindow } from './open-window.mjs';
import { inProject } from './project-root.mjs';
import { readStartOptions, startUsage } from './start-options.mjs';

/** @typedef {import('./start-options.mjs').StartOptions} StartOptions */
/** @typedef {import('../main/hosts/loopback/loopback-main.ts').LoopbackHost} LoopbackHost */
/** @typedef {import('../main/hosts/loopback/loopback-main.ts').LoopbackStart} LoopbackStart */

/** @param {string} line */
const say = (line) => {
  console.log(line);
};

/** @param {string[]} argv */
export async function startProgram(argv) {
  const options = readStartOptions(argv);
  if (options === 'help') {
    process.stdout.write(startUsage);
    return;
  }
  if ('mistake' in options) {
    process.stderr.write(`${options.mistake}\n\n${startUsage}`);
    process.exitCode = 2;
    return;
  }

  const electron = findElectron(inProject('node_modules', 'electron'), (path) => readFileSync(path, 'utf8'));
  if (options.host === 'desktop' && electron === null) {
    process.stderr.write(
      'The desktop window needs Electron, whose program file is not there. Fetch it once with "npx electron --version", or leave out --host desktop and use a browser. Nothing was started or changed.\n',
    );
    process.exitCode = 1;
    return;
  }
  await buildStaleParts(say);
  // A port is for browsers; and without a display the page can at least be served.
  const isDesktop =
    options.host === 'desktop' ||
    (options.host === null && options.port === null && options.hasWindow && hasDisplay());
  if (electron !== null && isDesktop) await runDesktop(electron, options);
  else
    await runInBrowser(
      options,
      electron === null ? 'Electron is not installed' : 'the desktop window was not asked for',
    );
}

/**
 * @param {string} electron
 * @param {StartOptions} options
 */
async function runDesktop(electron, options) {
  const sandboxNote = sandboxArguments().length > 0 ? ', without its sandbox because this is root' : '';
  say(`Opening the desktop window, because Electron is there${sandboxNote}.`);
  const child = spawn(
    electron,
    [
      ...sandboxArguments(),
      inProject('dist', 'main', 'electron-main.js'),
      ...(options.dataFolder === null ? [] : [`--data=${options.dataFolder}`]),
      ...(options.isSimulated ? ['--simulated'] : []),
    ],
    { stdio: 'inherit' },
  );
  for (const signal of /** @type {const} */ (['SIGINT', 'SIGTERM'])) {
    process.on(signal, () => child.kill(signal));
  }
  const [exitCode] = /** @type {[number | null]} */ (await once(child, 'exit'));
  process.exitCode = exitCode ?? 1;
}

/**
 * @param {StartOptions} options
 * @param {string} reason why it is not the desktop window
 */
async function runInBrowser(options, reason) {
  /** @type {LoopbackStart} */
  let start;
  try {
    start = await startHost(options);
  } catch (error) {
    // An expected failure says in its message what to do; anything else is a bug and shows where it happened.
    const isExpected = error instanceof Error && error.name === 'AppError';
    process.stderr.write(
      `${isExpected ? error.message : String(error instanceof Error ? error.stack : error)}\n`,
    );
    process.exitCode = 1;
    return;
  }
  if (start.kind === 'alreadyRunning') {
    await pointToRunningProgram(start, options);
    return;
  }

  const { host } = start;
  const ended = endOf(host);
  say(`Data is kept in ${host.dataFolder}`);
  if (options.hasWindow) {
    const { note, process: window } = await openWindow(host.ticketUrl(), host.dataFolder);
    say(`${note} (${reason}).`);
    if (window !== null) ended.withWindow(window);
  } else {
    say('No window was opened, as asked.');
  }
  say(`Address: ${host.url}`);
  say('Ctrl+C ends the program.');
}

/**
 * @param {StartOptions} options
 * @returns {Promise<LoopbackStart>}
 */
async function startHost(options) {
  // Compiled code is kept from start to start, which saves a quarter of the time until the page is served.
  const cache = inProject('dist', 'compile-cache');
  module.enableCompileCache(cache);
  process.env['NODE_COMPILE_CACHE'] = cache;
  const entry = pathToFileURL(inProject('dist', 'main', 'loopback-main.js')).href;
  const { startLoopbackHost } = /** @type {typeof import('../main/hosts/loopback/loopback-main.ts')} */ (
    await import(entry)
  );
  // Another start that has not said yet where it answers is either about to, or about to end.
  for (let attempt = 1; ; attempt += 1) {
    const start = await startLoopbackHost(options);
    if (start.kind === 'started' || start.runningAt !== null || attempt === 5) return start;
    await wait(300);
  }
}

/**
 * @param {Extract<LoopbackStart, { kind: 'alreadyRunning' }>} start
 * @param {StartOptions} options
 */
async function pointToRunningProgram({ dataFolder, runningAt, ticketUrl }, options) {
  if (runningAt === null) {
    say(
      `Another program works on ${dataFolder} and does not say where it answers. Nothing was started; end it first.`,
    );
    return;
  }
  const { url, pid } = runningAt;
  if (ticketUrl === null) {
    say(
      `Proofarm already runs on ${dataFolder} in its desktop window (process ${String(pid)}). Nothing was started.`,
    );
    return;
  }
  say(`Proofarm already runs on ${dataFolder} (process ${String(pid)}). Nothing was started.`);
  if (options.hasWindow) {
    const { note, process: window } = await openWindow(ticketUrl(), dataFolder);
    say(`${note}.`);
    // The window belongs to the running program.
    window?.unref();
  }
  say(`Address: ${url}`);
}

/**
 * Ends the program on Ctrl+C, on SIGTERM and when its own window has been closed.
 *
 * @param {LoopbackHost} host
 */
function endOf(host) {
  /** @type {import('node:child_process').ChildProcess | null} */
  let ownWindow = null;
  let isEnding = false;

  /** @param {string} why */
  const end = async (why) => {
    if (isEnding) return;
    isEnding = true;
    say(`${why}: storing and ending.`);
    try {
      await host.close();
      ownWindow?.kill();
    } catch (error) {
      console.error(error);
      process.exitCode = 1;
    }
    // A page that keeps its connection, or a browser's pipe, must not keep the program.
    process.exit();
  };
  process.on('SIGINT', () => void end('Ctrl+C'));
  process.on('SIGTERM', () => void end('Asked to end'));
  // The terminal was closed.
  process.on('SIGHUP', () => void end('Terminal closed'));

  return {
    /** @param {import('node:child_process').ChildProcess} window */
    withWindow(window) {
      ownWindow = window;
      const openedAt = performance.now();
      window.on('exit', () => {
        ownWindow = null;
        void endUnlessAnotherIsOpen(performance.now() - openedAt);
      });
    },
  };

  /**
   * A Chromium that is already up takes the page over into its own process, and ours ends at once though the window
   * stays. So what counts is whether a page is connected; one just taken over needs a moment for that.
   *
   * @param {number} livedMs
   */
  async function endUnlessAnotherIsOpen(livedMs) {
    await wait(livedMs < 5000 ? 4000 : 500);
    if (host.windowCount() === 0) await end('Window closed');
    else if (!isEnding)
      say('Its own window is gone, but another page is connected: going on. Ctrl+C ends the program.');
  }
}
