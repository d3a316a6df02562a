import reactHooks from 'eslint-plugin-react-hooks';
import tseslint from 'typescript-eslint';

const anyPackage = (...names) => names.flatMap((name) => [name, `${name}/*`]);

/** Layers are checked twice: here for the editor's sake, and over all files at once by dependency-cruiser. */
const forbid = (patterns, message) => ({
  'no-restricted-imports': ['error', { patterns: [{ group: patterns, message }] }],
});

export default tseslint.config(
  { ignores: ['dist/**', 'node_modules/**', 'test-results/**', 'tests/golden/**', 'tests/fixtures/**'] },
  ...tseslint.configs.strictTypeChecked,
  {
    languageOptions: {
      parserOptions: {
        project: './tsconfig.lint.json',
        tsconfigRootDir: import.meta.dirname,
      },
    },
    linterOptions: { reportUnusedDisableDirectives: 'error' },
    rules: {
      eqeqeq: ['error', 'always', { null: 'ignore' }],
      'no-console': 'error',
      'no-empty': ['error', { allowEmptyCatch: false }],
      'no-restricted-syntax': [
        'error',
        {
          selector: 'ExportDefaultDeclaration',
          message: 'Export by name, so that every file calls it the same.',
        },
        { selector: 'ExportAllDeclaration', message: 'Import from the file that defines it.' },
        { selector: 'TSEnumDeclaration', message: 'Use a union of literals.' },
      ],
      '@typescript-eslint/consistent-type-imports': ['error', { fixStyle: 'inline-type-imports' }],
      '@typescript-eslint/switch-exhaustiveness-check': [
        'error',
        { considerDefaultExhaustiveForUnions: true },
      ],
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_' }],
      // No enums exist here, and these two cost seconds.
      '@typescript-eslint/no-unsafe-enum-assignment': 'off',
      '@typescript-eslint/no-generated-empty-object-type': 'off',
      // Numbers read well in messages, and a wrong one is not more visible for being wrapped in String().
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true }],
      // Arrow functions that only pass a call on are the usual form of event listeners here.
      '@typescript-eslint/no-confusing-void-expression': ['error', { ignoreArrowShorthand: true }],
    },
  },
  {
    files: ['shared-lib/**'],
    rules: {
      'no-restricted-globals': ['error', 'Date', 'performance', 'crypto'],
      'no-restricted-properties': [
        'error',
        { object: 'Math', property: 'random', message: 'Randomness is injected, with its seed.' },
      ],
      ...forbid(['node:*', '**/main/**', '**/renderer/**'], 'shared-lib knows neither Node nor a page.'),
    },
  },
  {
    files: ['main/**'],
    ignores: ['main/hosts/**'],
    rules: forbid(
      ['electron', '**/renderer/**', '**/hosts/**'],
      'Services know neither their host nor the page.',
    ),
  },
  {
    files: ['main/hosts/**'],
    ignores: ['main/hosts/electron/**'],
    rules: forbid(['electron', '**/renderer/**', '**/electron/**'], 'Electron stays in its own host.'),
  },
  {
    files: ['main/hosts/electron/**'],
    rules: {
      'no-restricted-imports': [
        'error',
        {
          paths: [
            {
              name: 'electron',
              importNames: ['ipcMain'],
              message: 'ipc-transport.ts alone listens to windows, because it checks who asks.',
            },
          ],
          patterns: [{ group: ['**/renderer/**', '**/loopback/**'], message: 'Another layer.' }],
        },
      ],
    },
  },
  {
    files: ['main/hosts/electron/ipc-transport.ts'],
    rules: forbid(['**/renderer/**', '**/loopback/**'], 'Another layer.'),
  },
  {
    files: ['renderer/**'],
    plugins: { 'react-hooks': reactHooks },
    rules: {
      ...reactHooks.configs.recommended.rules,
      // It warns of what the React compiler skips, which is not used here.
      'react-hooks/incompatible-library': 'off',
      ...forbid(
        ['node:*', '**/main/**', ...anyPackage('electron')],
        'The page talks to main through its connection only.',
      ),
    },
  },
  {
    files: ['tests/**'],
    rules: {
      // A wrong assumption about a value fails the test that makes it, so it need not be proven to the compiler.
      '@typescript-eslint/no-non-null-assertion': 'off',
      '@typescript-eslint/no-unsafe-assignment': 'off',
      '@typescript-eslint/require-await': 'off',
      '@typescript-eslint/unbound-method': 'off',
    },
  },
  {
    files: ['scripts/**', 'tests/**'],
    rules: { 'no-console': 'off' },
  },
  {
    // Types in comments are checked by tsc; lint sees less of them and would call much of it any.
    files: ['scripts/**/*.mjs'],
    rules: {
      '@typescript-eslint/no-unsafe-assignment': 'off',
      '@typescript-eslint/no-unsafe-argument': 'off',
    },
  },
  {
    files: ['eslint.config.js', 'vitest.config.ts', 'renderer/vite.config.ts', '.dependency-cruiser.cjs'],
    extends: [tseslint.configs.disableTypeChecked],
    rules: { 'no-restricted-syntax': 'off' },
  },
);
