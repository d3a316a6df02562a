/**
 * Licences by their SPDX names, and why a package under one may ship, or may at least take part in building. What stands in neither list ends
 * `npm run licences` with an error, so that a person decides and writes the reason down here. This is care, no legal advice.
 */
export const mayShip: Readonly<Record<string, string>> = {
  MIT: 'any use; its notice goes along',
  ISC: 'as MIT',
  'BSD-2-Clause': 'any use; its notice goes along',
  'BSD-3-Clause': 'as BSD-2-Clause, and nobody is named to advertise',
  '0BSD': 'any use, without conditions',
  'Apache-2.0': 'any use; licence and notices go along',
  'BlueOak-1.0.0': 'any use; its text or address goes along',
  Unlicense: 'given to the public',
  Zlib: 'any use; changed sources are marked, and none are changed here',
  'OFL-1.1': 'typefaces: may be put into programs and documents, and are not sold alone',
  'MPL-2.0':
    'its own files stay under it: they are not changed here, and their source is public under the version that is named',
};

export const mayBuild: Readonly<Record<string, string>> = {
  'Python-2.0': 'any use; its notice goes along',
  'CC-BY-4.0': 'data that a tool of the build reads; its makers are named in the list',
  'CC0-1.0': 'given to the public',
  WTFPL: 'any use, without conditions',
};

/** Packages whose package.json names no licence, with the one of their licence file and a piece of its text, which must be there. */
export const namedByFileOnly: Readonly<Record<string, { readonly licence: string; readonly text: string }>> =
  {
    'png-js': { licence: 'MIT', text: 'Permission is hereby granted, free of charge, to any person' },
  };

/** Whether an SPDX expression allows what is asked for: of "or" one part is enough, of "and" all are needed. Both at once: not read. */
export function isAllowed(expression: string, allowed: Readonly<Record<string, string>>): boolean {
  const bare = expression.trim().replace(/^\((.*)\)$/, '$1');
  const choices = bare.split(/ OR /);
  const demands = bare.split(/ AND /);
  if (choices.length > 1 && demands.length > 1) return false;
  if (choices.length > 1) return choices.some((one) => Object.hasOwn(allowed, one.trim()));
  return demands.every((one) => Object.hasOwn(allowed, one.trim()));
}
