/**
 * Who may import whom. Each layer lists the packages it may use; a package that no list names fails until somebody has
 * decided where it belongs.
 */
const packages = (...names) => names.map((name) => `^node_modules/(@types/)?${name}(/|$)`);

const shared = packages('zod', 'ml-matrix', 'pure-rand');
const services = [
  ...shared,
  ...packages('better-sqlite3', 'serialport', '@serialport', 'fflate', 'csv-parse'),
  ...packages('yazl', 'yauzl', 'pdfmake', 'hyparquet-writer', '@fontsource/inter'),
];
const loopback = [...services, ...packages('fastify', '@fastify', 'ws')];
const desktop = [...services, ...packages('electron')];
const page = [
  ...packages('zod', 'pure-rand'),
  ...packages('react', 'react-dom', 'react-aria-components', 'react-aria', 'react-stately', 'wouter'),
  ...packages('chart[.]js', 'chartjs-plugin-annotation'),
  ...packages('mediabunny', 'fflate'),
  ...packages('lucide-react', '@tanstack/react-virtual', '@fontsource-variable', '@fontsource/inter'),
];

const layer = (name, from, allowed, { hasNode }) => ({
  name,
  severity: 'error',
  comment: `Not in the list of what ${name} may import (.dependency-cruiser.cjs).`,
  from,
  to: { pathNot: allowed, ...(hasNode ? { dependencyTypesNot: ['core'] } : {}) },
});

module.exports = {
  forbidden: [
    layer('shared-lib', { path: '^shared-lib/' }, ['^shared-lib/', ...shared], { hasNode: false }),
    layer(
      'the services',
      { path: '^main/', pathNot: '^main/(hosts/|simulation/(pseudo-terminal|pty-amplifier))' },
      ['^shared-lib/', '^main/(?!hosts/|simulation/(pseudo-terminal|pty-amplifier))', ...services],
      { hasNode: true },
    ),
    // A simulated amplifier outside the program, for scripts and tests; its pseudo-terminal is not shipped.
    layer(
      'the amplifier on a pseudo-terminal',
      { path: '^main/simulation/(pseudo-terminal|pty-amplifier)' },
      ['^shared-lib/', '^main/(?!hosts/)', ...services, ...packages('@lydell/node-pty')],
      { hasNode: true },
    ),
    layer(
      'the loopback host and what both hosts share',
      { path: '^main/hosts/', pathNot: '^main/hosts/electron/' },
      ['^shared-lib/', '^main/(?!hosts/electron/)', ...loopback],
      { hasNode: true },
    ),
    layer(
      'the Electron host',
      { path: '^main/hosts/electron/' },
      ['^shared-lib/', '^main/(?!hosts/loopback/)', ...desktop],
      { hasNode: true },
    ),
    layer(
      'the page',
      { path: '^renderer/', pathNot: '^renderer/vite[.]config[.]ts$' },
      ['^shared-lib/', '^renderer/', ...page],
      { hasNode: false },
    ),
    {
      name: 'nothing imports tests or scripts',
      severity: 'error',
      from: { path: '^(shared-lib|main|renderer)/' },
      to: { path: '^(tests|scripts)/' },
    },
    {
      name: 'no circles',
      severity: 'error',
      from: {},
      to: { circular: true, viaOnly: { dependencyTypesNot: ['type-only'] } },
    },
    { name: 'every import exists', severity: 'error', from: {}, to: { couldNotResolve: true } },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    exclude: { path: '^dist/' },
    tsPreCompilationDeps: true,
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'node', 'default', 'types'],
      extensions: ['.ts', '.tsx', '.mjs', '.js', '.json', '.css'],
    },
  },
};
