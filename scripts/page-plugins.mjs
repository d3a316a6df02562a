import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { inProject } from './project-root.mjs';

/**
 * What keeps the first script of the page small: it is read anew at each start, and nothing is in sight before.
 *
 * @returns {import('vite').Plugin[]}
 */
export function pagePlugins() {
  return [pureConstants(), zodWithoutEvaluation(), componentsOneByOne(), firstPictureAtOnce()];
}

const PURE_KINDS = new Set([
  'ArrayExpression',
  'CallExpression',
  'MemberExpression',
  'NewExpression',
  'ObjectExpression',
]);

/**
 * Constants of the shared library come out the same whenever they are computed, so those that nobody uses may go. A bundler cannot
 * see that of a call, and would keep each schema of the contract for the sake of its types.
 *
 * @returns {import('vite').Plugin}
 */
function pureConstants() {
  return {
    name: 'unused constants of the shared library are left out',
    enforce: 'post',
    transform: {
      filter: { id: /[\\/]shared-lib[\\/].*\.ts$/ },
      handler(code) {
        let marked = '';
        let done = 0;
        for (const { start, end } of constantsOf(this.parse(code))) {
          marked += `${code.slice(done, start)}/* @__PURE__ */ (() => (${code.slice(start, end)}))()`;
          done = end;
        }
        return { code: marked + code.slice(done), map: null, moduleSideEffects: false };
      },
    },
  };
}

/**
 * Where the values of a module's own constants stand, in order.
 *
 * @param {import('rolldown/utils').ParseResult['program']} program
 */
function constantsOf({ body }) {
  return body
    .map((statement) => (statement.type === 'ExportNamedDeclaration' ? statement.declaration : statement))
    .filter((statement) => statement?.type === 'VariableDeclaration')
    .flatMap(({ declarations }) => declarations)
    .filter(({ id }) => id.type === 'Identifier')
    .flatMap(({ init }) => (init !== null && PURE_KINDS.has(init.type) ? [init] : []));
}

/**
 * Whoever asks for zod in a page gets it once it has been forbidden to evaluate text as code.
 *
 * @returns {import('vite').Plugin}
 */
function zodWithoutEvaluation() {
  const forbidding = inProject('renderer', 'forbid-evaluation.ts');
  const afterThat = '\0zod-without-evaluation';
  const zod = fileURLToPath(import.meta.resolve('zod'));
  return {
    name: 'zod without evaluation',
    enforce: 'pre',
    resolveId: {
      order: 'pre',
      filter: { id: /^zod$/ },
      handler: (_source, importer) => (importer === forbidding ? zod : afterThat),
    },
    load: {
      filter: { id: /^\0zod-without-evaluation$/ },
      handler: () => `import ${JSON.stringify(forbidding)};\nexport * from ${JSON.stringify(zod)};`,
    },
  };
}

/**
 * Each component from its own file: by way of the library's one list of all, whatever any place uses would count as used at the start.
 *
 * @returns {import('vite').Plugin}
 */
function componentsOneByOne() {
  const list = import.meta.resolve('react-aria-components');
  const files = filesOfComponents(readFileSync(fileURLToPath(list), 'utf8'), list);
  /** @param {string} names */
  const oneByOne = (names) =>
    names
      .split(',')
      .map((name) => name.trim())
      .filter((name) => name !== '')
      .map((name) => {
        const [exported = '', own = exported] = name.split(/\s+as\s+/);
        const file = files.get(exported);
        if (file === undefined) throw new Error(`react-aria-components has no ${exported}`);
        return `import { ${file.name} as ${own} } from ${JSON.stringify(file.path)};`;
      })
      .join('\n');
  return {
    name: 'components from their own files',
    enforce: 'post',
    transform: {
      filter: { id: /[\\/]renderer[\\/].*\.tsx?$/, code: 'react-aria-components' },
      handler: (code) => ({
        code: code.replaceAll(
          /import\s*\{([^}]*)\}\s*from\s*["']react-aria-components["'];?/g,
          (_all, /** @type {string} */ names) => oneByOne(names),
        ),
        map: null,
      }),
    },
  };
}

/**
 * @param {string} text of the list: imports from files beside it, and exports of what was imported
 * @param {string} address of the list
 */
function filesOfComponents(text, address) {
  /** @type {Map<string, { path: string, name: string }>} */
  const imported = new Map();
  for (const [, names = '', file = ''] of text.matchAll(/^import \{([^}]*)\} from "(\.[^"]+)";$/gm)) {
    for (const [name = '', own = name] of namesIn(names)) {
      imported.set(own, { path: fileURLToPath(new URL(file, address)), name });
    }
  }
  /** @type {typeof imported} */
  const exported = new Map();
  for (const [, names = ''] of text.matchAll(/^export \{([^}]*)\};$/gm)) {
    for (const [own = '', name = own] of namesIn(names)) {
      const file = imported.get(own);
      if (file !== undefined) exported.set(name, file);
    }
  }
  return exported;
}

/** @param {string} names such as "a as b, c" */
function namesIn(names) {
  return names.split(',').map((name) => name.trim().split(' as '));
}

/**
 * What the first picture needs is fetched at once, not when the script that opens the connection, or a rule of a style sheet, asks for it.
 *
 * @returns {import('vite').Plugin}
 */
function firstPictureAtOnce() {
  return {
    name: 'the first picture is fetched at once',
    transformIndexHtml: {
      order: 'post',
      handler(html, { bundle = {} }) {
        const first = Object.values(bundle).find(
          (file) => file.type === 'chunk' && file.facadeModuleId?.endsWith('/first-picture.tsx'),
        );
        if (first?.type !== 'chunk') return [];
        const scripts = [first.fileName, ...first.imports];
        const sheets = scripts.flatMap((name) => {
          const file = bundle[name];
          return file?.type === 'chunk' ? [...(file.viteMetadata?.importedCss ?? [])] : [];
        });
        const isMissing = (/** @type {string} */ name) => !html.includes(`"/${name}"`);
        const typeface = Object.keys(bundle).filter((name) =>
          /inter-latin-wght-normal-[^.]+\.woff2$/.test(name),
        );
        return [
          ...typeface.map((name) => link('preload', name, { as: 'font', type: 'font/woff2' })),
          ...scripts.filter(isMissing).map((name) => link('modulepreload', name)),
          ...sheets.filter(isMissing).map((name) => link('stylesheet', name)),
        ];
      },
    },
  };
}

/**
 * @param {string} rel
 * @param {string} name of a built file
 * @param {Record<string, string>} more
 */
function link(rel, name, more = {}) {
  const attrs = { rel, ...more, crossorigin: true, href: `/${name}` };
  return { tag: 'link', attrs, injectTo: /** @type {const} */ ('head') };
}
