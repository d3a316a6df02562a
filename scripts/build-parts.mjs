import { createHash } from 'node:crypto';
import {
  copyFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { inProject, projectRoot } from './project-root.mjs';

/**
 * @typedef {object} Part
 * @property {string} name
 * @property {string} folder where it is built, under dist/
 * @property {string[]} sources folders and files that it is made of
 * @property {(folder: string) => Promise<void>} build
 */

/** What every part depends on: versions of packages and the way it is built. */
const commonSources = ['package-lock.json', 'tsconfig.json', 'scripts/build-parts.mjs', 'shared-lib'];
const pageSources = [...commonSources, 'renderer', 'scripts/page-plugins.mjs'];

/** @type {readonly Part[]} */
const parts = [
  { name: 'the page', folder: 'renderer', sources: pageSources, build: buildPage },
  { name: 'the services', folder: 'main', sources: [...commonSources, 'main'], build: buildServices },
];

/**
 * Builds what is missing or older than its sources, and says so. Parts that are up to date cost some milliseconds.
 *
 * @param {(line: string) => void} say
 * @returns {Promise<void>}
 */
export async function buildStaleParts(say) {
  for (const part of parts) {
    const fingerprint = fingerprintOf(part.sources);
    const stampFile = inProject('dist', `${part.folder}.stamp`);
    const folder = inProject('dist', part.folder);
    if (existsSync(folder) && existsSync(stampFile) && readFileSync(stampFile, 'utf8') === fingerprint)
      continue;

    const startedAt = performance.now();
    // Beside its place and then moved there, so that a build that fails or is stopped leaves no half of it.
    const fresh = `${folder}.${String(process.pid)}`;
    try {
      await part.build(fresh);
      rmSync(stampFile, { force: true });
      rmSync(folder, { recursive: true, force: true });
      renameSync(fresh, folder);
      writeFileSync(stampFile, fingerprint);
    } finally {
      rmSync(fresh, { recursive: true, force: true });
    }
    say(`Built ${part.name} in ${((performance.now() - startedAt) / 1000).toFixed(1)} s.`);
  }
}

/**
 * What is read before the first picture, in few files: each one costs the browser a way to its store of files, and two are read at once.
 *
 * @type {import('vite').Rolldown.CodeSplittingGroup[]}
 */
const firstScripts = [
  {
    name: 'connection',
    tags: ['$initial'],
    test: /renderer[\\/](renderer-main|api-client[\\/](?!ConnectionContext|use-))|frame[\\/]theme|shared-lib[\\/](wire-codec|app-error)/,
    priority: 3,
  },
  { name: 'react', test: /node_modules[\\/](react|react-dom|scheduler)[\\/]/, priority: 2 },
  { name: 'first-picture', tags: ['$initial'], priority: 1 },
];

/** @param {string} folder */
async function buildPage(folder) {
  // Under a test runner it says 'test', which would bring React's slow development form.
  process.env['NODE_ENV'] = 'production';
  const { build } = await import('vite');
  const { pagePlugins } = await import('./page-plugins.mjs');
  await build({
    configFile: inProject('renderer', 'vite.config.ts'),
    plugins: pagePlugins(),
    logLevel: 'warn',
    build: {
      outDir: folder,
      rolldownOptions: {
        input: [inProject('renderer', 'index.html'), inProject('renderer', 'first-picture.tsx')],
        preserveEntrySignatures: 'allow-extension',
        output: { codeSplitting: { groups: firstScripts } },
      },
    },
  });
  // A page by itself in a folder of its own, so that its door can serve that folder and nothing of the window's page.
  await build({
    configFile: inProject('renderer', 'vite.config.ts'),
    root: inProject('renderer', 'overlay'),
    plugins: pagePlugins(),
    logLevel: 'warn',
    build: { outDir: join(folder, 'overlay') },
  });
}

/**
 * Messages of schemas in English only: those in all other languages would be read at each start, a tenth of the program and a
 * quarter of the file that travels in data packages.
 *
 * @type {import('esbuild').Plugin}
 */
const englishOnly = {
  name: 'messages of schemas in English only',
  setup(bundle) {
    bundle.onLoad({ filter: /zod[\\/]v4[\\/]locales[\\/]index\.js$/ }, () => ({
      contents: "export { default as en } from './en.js';",
    }));
  },
};

/**
 * What the server's libraries would only need for routes with schemas, for lists of files and for their own tests.
 *
 * @type {import('esbuild').Plugin}
 */
const neverUsed = {
  name: 'what is never used is left out',
  setup(bundle) {
    bundle.onLoad(
      {
        filter:
          /@fastify[\\/](ajv-compiler|fast-json-stringify-compiler)[\\/]index\.js$|light-my-request[\\/]index\.js$|glob[\\/]dist[\\/]commonjs[\\/]index\.min\.js$/,
      },
      () => ({
        contents: "module.exports = () => { throw new Error('This was left out of the program'); };",
      }),
    );
  },
};

/** @param {string} folder */
async function buildServices(folder) {
  const { build } = await import('esbuild');
  /** @type {import('esbuild').BuildOptions} */
  const common = {
    absWorkingDir: projectRoot,
    bundle: true,
    platform: 'node',
    target: 'node22',
    outdir: folder,
    legalComments: 'none',
    // Half as much to read and compile; names stay, for the log.
    minifyWhitespace: true,
    minifySyntax: true,
    logLevel: 'warning',
    plugins: [englishOnly, neverUsed],
  };
  mkdirSync(folder, { recursive: true });
  await build({
    ...common,
    entryPoints: {
      'loopback-main': 'main/hosts/loopback/loopback-main.ts',
      'electron-main': 'main/hosts/electron/electron-main.ts',
      'reader-process': 'main/amplifier/reader-process.ts',
      'recording-writer-thread': 'main/storage/recording-writer-thread.ts',
      'work-thread': 'main/work/work-thread.ts',
    },
    format: 'esm',
    // Bundled, the host is ready in less than half the time; what holds native code stays a package.
    external: ['electron', 'better-sqlite3', 'serialport'],
    // Some bundled packages are CommonJS: they ask for Node's own modules at run time, and where they are.
    banner: {
      js: "import { createRequire } from 'node:module';\nconst require = createRequire(import.meta.url), __dirname = import.meta.dirname;",
    },
  });
  copyReportFonts(folder);
  await buildRecompute(folder);
  await build({
    ...common,
    entryPoints: { preload: 'main/hosts/electron/preload.ts' },
    // A preload script in the sandbox can only be CommonJS.
    format: 'cjs',
    outExtension: { '.js': '.cjs' },
    external: ['electron'],
  });
}

/**
 * The typeface of reports, beside the thread that writes them.
 *
 * @param {string} folder
 */
function copyReportFonts(folder) {
  /** @type {{ subsets: string[], documentWeights: number[], pageWeights: number[] }} */
  const { subsets, documentWeights, pageWeights } = JSON.parse(
    readFileSync(inProject('main', 'report', 'font-files.json'), 'utf8'),
  );
  mkdirSync(join(folder, 'report-fonts'));
  const copy = (/** @type {string} */ name) => {
    copyFileSync(
      inProject('node_modules', '@fontsource', 'inter', name),
      join(folder, 'report-fonts', name.replace('files/', '')),
    );
  };
  copy('LICENSE');
  for (const subset of subsets) {
    for (const weight of documentWeights) copy(`files/inter-${subset}-${String(weight)}-normal.woff`);
    for (const weight of pageWeights) copy(`files/inter-${subset}-${String(weight)}-normal.woff2`);
  }
}

/**
 * The file that travels in data packages: alone, it needs nothing but Node, and a doubter can read it.
 *
 * @param {string} folder
 */
export async function buildRecompute(folder) {
  const { build } = await import('esbuild');
  await build({
    absWorkingDir: projectRoot,
    bundle: true,
    platform: 'node',
    target: 'node22',
    outdir: folder,
    legalComments: 'none',
    logLevel: 'warning',
    entryPoints: { recompute: 'main/recompute/recompute-entry.ts' },
    format: 'esm',
    outExtension: { '.js': '.mjs' },
    plugins: [englishOnly],
  });
}

/**
 * Changes when a file is added, removed, renamed or written to.
 *
 * @param {string[]} sources
 * @returns {string}
 */
function fingerprintOf(sources) {
  const hash = createHash('sha256');
  for (const source of sources) hash.update(stateOf(source));
  return hash.digest('hex');
}

/** What the parts share is looked at once. */
/** @type {Map<string, string>} */
const states = new Map();

/**
 * @param {string} source
 * @returns {string}
 */
function stateOf(source) {
  const known = states.get(source);
  if (known !== undefined) return known;
  const state = filesIn(source)
    .sort()
    .map((path) => {
      const { size, mtimeMs } = statSync(`${projectRoot}/${path}`);
      return `${path} ${String(size)} ${String(mtimeMs)}\n`;
    })
    .join('');
  states.set(source, state);
  return state;
}

/**
 * By hand, since at each start this looks at more than a thousand files, and joining their paths took longer than that.
 *
 * @param {string} path
 * @returns {string[]}
 */
function filesIn(path) {
  if (!statSync(inProject(path)).isDirectory()) return [path];
  return readdirSync(inProject(path), { withFileTypes: true }).flatMap((entry) => {
    const inside = `${path}/${entry.name}`;
    if (entry.isDirectory()) return filesIn(inside);
    return entry.isFile() ? [inside] : [];
  });
}
