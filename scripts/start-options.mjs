import { parseArgs } from 'node:util';

export const startUsage = `npm start -- [options]        or: npx proofarm start [options]

  --host desktop|browser   which window; without it the desktop window where Electron is there, else a browser
  --data DIR               folder for all data (made where missing)
  --port N                 port of the page for a browser on this machine; 0: any free one (default 47120 or the next)
  --simulated              connect the simulated bench at once
  --no-window              open no window; print the address and serve the page
  --help                   this text
`;

/**
 * @typedef {object} StartOptions
 * @property {'desktop' | 'browser' | null} host
 * @property {string | null} dataFolder
 * @property {number | null} port
 * @property {boolean} isSimulated
 * @property {boolean} hasWindow
 */

/**
 * @param {string[]} argv
 * @returns {StartOptions | 'help' | { readonly mistake: string }}
 */
export function readStartOptions(argv) {
  /** @type {Record<string, string | boolean | undefined>} */
  let values;
  try {
    ({ values } = parseArgs({
      args: argv,
      options: {
        host: { type: 'string' },
        data: { type: 'string' },
        port: { type: 'string' },
        simulated: { type: 'boolean', default: false },
        'no-window': { type: 'boolean', default: false },
        help: { type: 'boolean', default: false },
      },
    }));
  } catch (error) {
    // parseArgs says in a sentence which option it does not know or what it lacks.
    return { mistake: error instanceof Error ? error.message : String(error) };
  }
  if (values.help === true) return 'help';

  const { host, data, port } = values;
  if (host !== undefined && host !== 'desktop' && host !== 'browser') {
    return { mistake: `--host must be desktop or browser; "${String(host)}" is neither.` };
  }
  if (port !== undefined && !(/^\d{1,5}$/.test(String(port)) && Number(port) <= 65_535)) {
    return { mistake: `--port must be a whole number from 0 to 65535; "${String(port)}" is not.` };
  }
  if (data === '') return { mistake: '--data must name a folder.' };
  if (host === 'desktop' && (values['no-window'] === true || port !== undefined)) {
    return { mistake: '--host desktop is a window and has no port: leave out --no-window and --port.' };
  }
  return {
    host: host ?? null,
    dataFolder: typeof data === 'string' ? data : null,
    port: port === undefined ? null : Number(port),
    isSimulated: values.simulated === true,
    hasWindow: values['no-window'] !== true,
  };
}
