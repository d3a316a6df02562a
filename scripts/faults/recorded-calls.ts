import type { DiskStep } from './lossy-disk.ts';

/** What strace is to record: every call that changes a file or a name, or syncs. */
export const recordedCalls = [
  'open,openat,creat',
  'write,pwrite64,writev,pwritev,pwritev2',
  'ftruncate,truncate,fallocate,copy_file_range,sendfile',
  'fsync,fdatasync,sync_file_range,msync',
  'rename,renameat,renameat2,unlink,unlinkat,mkdir,mkdirat,link,linkat,symlink',
].join(',');

/** Options for strace(1): threads and children too, names of files beside their numbers, every text in hexadecimal and whole. */
export const straceOptions = [
  '-f',
  '-y',
  '-xx',
  '-s',
  '67108864',
  '--seccomp-bpf',
  '-e',
  `trace=${recordedCalls}`,
];

const CALL = /^(\d+) +(\w+)\((.*)$/s;
const RESUMED = /^(\d+) +<\.\.\. (\w+) resumed>(.*)$/s;
const UNFINISHED = ' <unfinished ...>';

/**
 * What strace recorded as steps for a disk, in the order in which the calls began; a sync has a beginning and an end.
 *
 * `marksPath`: what is written to this file is a mark. Errors: where a call is found that the steps cannot express, since a
 * record that is read in part would prove nothing.
 */
export function* stepsOf(lines: Iterable<string>, folder: string, marksPath: string): Generator<DiskStep> {
  const begun = new Map<string, string>();
  for (const line of lines) {
    const resumed = RESUMED.exec(line);
    if (resumed) {
      const [, thread = '', call = '', rest = ''] = resumed;
      const key = `${thread} ${call}`;
      const text = `${begun.get(key) ?? ''}${rest}`;
      begun.delete(key);
      if (isSync(call)) yield* syncSteps(text, Number(thread), 'end');
      else if (call === 'openat' || call === 'open') yield* changes(call, text, folder, marksPath);
      continue;
    }
    const [, thread = '', call = '', rest = ''] = CALL.exec(line) ?? [];
    if (call === '') continue;
    const isUnfinished = rest.endsWith(UNFINISHED);
    const text = isUnfinished ? rest.slice(0, -UNFINISHED.length) : rest;
    if (isUnfinished) begun.set(`${thread} ${call}`, text);
    if (isSync(call)) {
      yield* syncSteps(text, Number(thread), 'begin');
      if (!isUnfinished) yield* syncSteps(text, Number(thread), 'end');
      // Whether a file was opened shows in the answer.
    } else if (!(isUnfinished && (call === 'openat' || call === 'open'))) {
      yield* changes(call, text, folder, marksPath);
    }
  }
}

function isSync(call: string): boolean {
  return call === 'fsync' || call === 'fdatasync';
}

function* syncSteps(text: string, thread: number, which: 'begin' | 'end'): Generator<DiskStep> {
  if (which === 'end' && !/= 0\s*$/.test(text)) return;
  const path = pathOfHandle(text);
  if (path !== null) yield { kind: which === 'begin' ? 'syncBegins' : 'syncEnds', path, thread };
}

function* changes(call: string, text: string, folder: string, marksPath: string): Generator<DiskStep> {
  if (/= -1 \w+/.test(text.slice(-200))) return;
  const handle = pathOfHandle(text);
  const concerns = (path: string | null | undefined): path is string =>
    path !== null && path !== undefined && (path === folder || path.startsWith(`${folder}/`));
  switch (call) {
    case 'open':
    case 'openat': {
      const path = texts(text).find((named) => named.startsWith('/') && concerns(named));
      if (path === undefined || !/O_CREAT|O_TRUNC/.test(text)) return;
      yield { kind: 'create', path, isEmptied: text.includes('O_TRUNC') };
      return;
    }
    case 'write': {
      if (handle === marksPath) yield { kind: 'mark', text: Buffer.from(contentOf(text)).toString('utf8') };
      else if (concerns(handle)) yield { kind: 'write', path: handle, at: null, bytes: contentOf(text) };
      return;
    }
    case 'pwrite64': {
      if (!concerns(handle)) return;
      const at = Number(/", \d+, (\d+)/.exec(text.slice(text.lastIndexOf('"')))?.[1]);
      if (!Number.isInteger(at)) throw new Error(`A write to ${handle} has no place: ${text.slice(-80)}`);
      yield { kind: 'write', path: handle, at, bytes: contentOf(text) };
      return;
    }
    case 'ftruncate': {
      if (!concerns(handle)) return;
      yield { kind: 'resize', path: handle, bytes: Number(/>, (\d+)/.exec(text)?.[1]) };
      return;
    }
    case 'unlink':
    case 'unlinkat': {
      const path = texts(text).at(-1);
      if (concerns(path)) yield { kind: 'remove', path };
      return;
    }
    case 'rename':
    case 'renameat':
    case 'renameat2': {
      const [path, to] = texts(text).filter((named) => named.startsWith('/'));
      if (concerns(path) && to !== undefined) yield { kind: 'rename', path, to };
      return;
    }
    case 'mkdir':
    case 'mkdirat': {
      const path = texts(text).at(-1);
      if (concerns(path)) yield { kind: 'makeFolder', path };
      return;
    }
    default: {
      const named = concerns(handle) || texts(text).some(concerns);
      if (named) throw new Error(`The record holds a call that is not understood: ${call}`);
    }
  }
}

/** The file behind the first number, as `-y` shows it. */
function pathOfHandle(text: string): string | null {
  const named = /^\d+<((?:\\x[0-9a-f]{2})+)>/.exec(text)?.[1];
  return named === undefined ? null : Buffer.from(bytesOf(named)).toString('utf8');
}

function texts(text: string): string[] {
  return [...text.matchAll(/"((?:\\x[0-9a-f]{2})*)"/g)].map(([, hex = '']) =>
    Buffer.from(bytesOf(hex)).toString('utf8'),
  );
}

/** What a write wrote: as much of it as the system took. */
function contentOf(text: string): Uint8Array {
  const first = text.indexOf('"');
  return bytesOf(text.slice(first + 1, text.indexOf('"', first + 1)));
}

function bytesOf(hex: string): Uint8Array {
  return Uint8Array.from(Buffer.from(hex.replaceAll('\\x', ''), 'hex'));
}
