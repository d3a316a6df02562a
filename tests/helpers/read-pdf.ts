import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { inflateSync } from 'node:zlib';

/** What a test wants to know of a PDF. */
export interface ReadPdf {
  readonly pageCount: number;
  /** Of each page, in the order in which it is drawn. */
  readonly pageTexts: readonly string[];
  readonly title: string;
  readonly language: string | null;
  readonly outline: readonly string[];
}

/**
 * Reads a PDF by the letters of ISO 32000: every entry of the cross-reference table has to lead to its object, the pages and their fonts are
 * followed from the catalogue, and glyphs become letters by the maps that the file carries. Only what pdfkit writes is known: a classic
 * table, deflated streams, two bytes a glyph.
 *
 * Errors: Error where the file is not sound.
 */
export function readPdf(path: string): ReadPdf {
  const bytes = readFileSync(path);
  const text = bytes.toString('latin1');
  if (!text.startsWith('%PDF-1.')) throw new Error('Not a PDF');
  const objects = readObjects(text);
  const object = (number: number): string => {
    const found = objects.get(number);
    if (found === undefined) throw new Error(`Object ${number} is missing`);
    return found;
  };
  const referred = (words: string, key: string): string => {
    const match = new RegExp(`/${key} (\\d+) 0 R`).exec(words);
    if (match === null) throw new Error(`No ${key} in ${words.slice(0, 200)}`);
    return object(Number(match[1]));
  };
  const trailer = text.slice(text.lastIndexOf('trailer'));
  const catalogue = referred(trailer, 'Root');
  const tree = referred(catalogue, 'Pages');
  const pages = [...(/\/Kids \[([^\]]*)\]/.exec(tree)?.[1] ?? '').matchAll(/(\d+) 0 R/g)].map((match) =>
    object(Number(match[1])),
  );
  if (Number(/\/Count (\d+)/.exec(tree)?.[1]) !== pages.length) throw new Error('The pages are miscounted');
  return {
    pageCount: pages.length,
    pageTexts: pages.map((page) => textOfPage(page, referred, object)),
    title: stringOf(referred(trailer, 'Info'), 'Title', object) ?? '',
    language: stringOf(catalogue, 'Lang', object),
    outline: [...objects.values()].flatMap((words) =>
      words.includes('/Parent') && words.includes('/Dest') ? (stringOf(words, 'Title', object) ?? []) : [],
    ),
  };
}

/** Null where poppler is not installed. */
export function readByPoppler(path: string): { readonly info: string; readonly text: string } | null {
  try {
    const info = execFileSync('pdfinfo', [path], { encoding: 'utf8' });
    return { info, text: execFileSync('pdftotext', ['-layout', path, '-'], { encoding: 'utf8' }) };
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return null;
    throw error;
  }
}

function readObjects(text: string): Map<number, string> {
  const start = Number(/startxref\s+(\d+)\s+%%EOF\s*$/.exec(text)?.[1] ?? Number.NaN);
  if (!text.startsWith('xref', start)) throw new Error('startxref does not lead to the table');
  const table = /^xref\s+0 (\d+)\s+([\s\S]*?)trailer/.exec(text.slice(start));
  const entries = (table?.[2] ?? '').trim().split(/\s*\n/);
  if (entries.length !== Number(table?.[1])) throw new Error('The table has another length than it says');
  const objects = new Map<number, string>();
  entries.forEach((entry, number) => {
    const [offset, , kind] = entry.trim().split(' ');
    if (kind !== 'n') return;
    const at = Number(offset);
    if (!text.startsWith(`${number} 0 obj`, at))
      throw new Error(`Object ${number} is not where the table says`);
    const end = text.indexOf('endobj', at);
    objects.set(number, text.slice(at, end));
  });
  return objects;
}

function streamOf(object: string): string {
  const begin = object.indexOf('stream\n') + 'stream\n'.length;
  const length = Number(/\/Length (\d+)/.exec(object)?.[1]);
  const bytes = Buffer.from(object.slice(begin, begin + length), 'latin1');
  return (object.includes('/FlateDecode') ? inflateSync(bytes) : bytes).toString('latin1');
}

function textOfPage(
  page: string,
  referred: (words: string, key: string) => string,
  object: (number: number) => string,
): string {
  const resources = page.includes('/Resources <<') ? page : referred(page, 'Resources');
  const fontNames = /\/Font <<([\s\S]*?)>>/.exec(resources)?.[1] ?? '';
  const maps = new Map(
    [...fontNames.matchAll(/\/(F\d+) (\d+) 0 R/g)].map((match) => [
      match[1] ?? '',
      lettersOf(streamOf(referred(object(Number(match[2])), 'ToUnicode'))),
    ]),
  );
  const content = streamOf(referred(page, 'Contents'));
  let letters = new Map<number, string>();
  let text = '';
  for (const [, font, shown] of content.matchAll(/\/(F\d+) [\d.]+ Tf|\[([^\]]*)\] TJ/g)) {
    if (font !== undefined) letters = maps.get(font) ?? new Map();
    for (const [, glyphs = ''] of (shown ?? '').matchAll(/<([0-9a-f]*)>/gi)) {
      for (const glyph of glyphs.match(/.{4}/g) ?? [])
        text += letters.get(Number.parseInt(glyph, 16)) ?? '\ufffd';
    }
  }
  return text;
}

/** Of a map as pdfkit writes it: ranges of glyphs with a list of their letters. */
function lettersOf(map: string): Map<number, string> {
  const letters = new Map<number, string>();
  for (const [, from = '', list = ''] of map.matchAll(/<([0-9a-f]+)> <[0-9a-f]+> \[([^\]]*)\]/gi)) {
    [...list.matchAll(/<([0-9a-f ]*)>/gi)].forEach(([, units = ''], index) => {
      const codes = units.replaceAll(' ', '').match(/.{4}/g) ?? [];
      letters.set(
        Number.parseInt(from, 16) + index,
        String.fromCharCode(...codes.map((code) => Number.parseInt(code, 16))),
      );
    });
  }
  return letters;
}

/** Literal or as UTF-16, in its place or in an object of its own; null: there is none. */
function stringOf(words: string, key: string, object: (number: number) => string): string | null {
  const reference = new RegExp(`/${key} (\\d+) 0 R`).exec(words)?.[1];
  const source =
    reference === undefined ? words.slice(words.indexOf(`/${key} (`)) : object(Number(reference));
  const raw = /\(((?:\\.|[^\\)])*)\)/s.exec(words.includes(`/${key} `) ? source : '')?.[1];
  if (raw === undefined) return null;
  const plain = raw.replaceAll(
    /\\(.)/gs,
    (_, character: string) => ({ n: '\n', r: '\r', t: '\t' })[character] ?? character,
  );
  const bytes = Buffer.from(plain, 'latin1');
  return plain.startsWith('\u00fe\u00ff') ? bytes.subarray(2).swap16().toString('utf16le') : plain;
}
