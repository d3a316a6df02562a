import { mkdirSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import type { SeededRandom } from '../../shared-lib/simulation/seeded-random.ts';

/** What a program asked of the system, in order. Positions and sizes in bytes; paths as the program named them. */
export type DiskStep =
  | { readonly kind: 'create'; readonly path: string; readonly isEmptied: boolean }
  | { readonly kind: 'write'; readonly path: string; readonly at: number | null; readonly bytes: Uint8Array }
  | { readonly kind: 'resize'; readonly path: string; readonly bytes: number }
  | { readonly kind: 'rename'; readonly path: string; readonly to: string }
  | { readonly kind: 'remove'; readonly path: string }
  | { readonly kind: 'makeFolder'; readonly path: string }
  /** A sync covers what was written before it was asked for, and counts once it was answered. */
  | { readonly kind: 'syncBegins' | 'syncEnds'; readonly path: string; readonly thread: number }
  /** The program has told somebody something. */
  | { readonly kind: 'mark'; readonly text: string };

/** What a cut leaves of what was not synced. */
export type Loss = 'everything' | 'nothing' | 'byChance';

/** Of a page the system writes to the disk what it holds at some time between two syncs, and may do so sector by sector. */
const PAGE_BYTES = 4096;
const SECTOR_BYTES = 512;

interface Version<Content> {
  readonly step: number;
  readonly content: Content;
}

/** The content that is on the disk for certain, first, and what came since. */
type Versions<Content> = Version<Content>[];

interface DiskFile {
  readonly pages: Map<number, Versions<Uint8Array>>;
  readonly sizes: Versions<number>;
}

type NameChange = (names: Map<string, DiskFile>) => void;

interface NameStep {
  readonly step: number;
  readonly folder: string;
  readonly change: NameChange;
}

export interface LossyDisk {
  perform(step: DiskStep): void;
  /** Writes into a folder what the power cut leaves of the watched one. */
  cut(into: string, loss: Loss, random: SeededRandom): void;
}

/**
 * A disk that may lose whatever was not synced: contents and sizes of files page by page, names of files until their folder is
 * synced (in order, from some point on). With `ignoresSyncs` it is one for a program that never syncs.
 */
export function createLossyDisk(folder: string, ignoresSyncs = false): LossyDisk {
  let step = 0;
  const names = new Map<string, DiskFile>();
  /** What holds for certain, and what was done to the names since. */
  const firmNames = new Map<string, DiskFile>();
  let nameSteps: NameStep[] = [];
  const folders = new Set([folder]);
  const syncs = new Map<string, number>();

  const changeNames = (path: string, change: NameChange): void => {
    change(names);
    nameSteps.push({ step, folder: dirname(path), change });
  };

  const fileAt = (path: string): DiskFile | undefined => names.get(path);

  const write = (file: DiskFile, at: number, bytes: Uint8Array): void => {
    for (let done = 0; done < bytes.length;) {
      const page = Math.floor((at + done) / PAGE_BYTES);
      const inPage = (at + done) % PAGE_BYTES;
      const part = bytes.subarray(done, done + PAGE_BYTES - inPage);
      const versions = file.pages.get(page) ?? [{ step: 0, content: new Uint8Array(PAGE_BYTES) }];
      const content = Uint8Array.from(newest(versions));
      content.set(part, inPage);
      versions.push({ step, content });
      file.pages.set(page, versions);
      done += part.length;
    }
    const size = newest(file.sizes);
    if (at + bytes.length > size) file.sizes.push({ step, content: at + bytes.length });
  };

  const resize = (file: DiskFile, size: number): void => {
    for (const [page, versions] of file.pages) {
      const kept = Math.max(0, Math.min(PAGE_BYTES, size - page * PAGE_BYTES));
      if (kept === PAGE_BYTES) continue;
      const content = new Uint8Array(PAGE_BYTES);
      content.set(newest(versions).subarray(0, kept));
      versions.push({ step, content });
    }
    file.sizes.push({ step, content: size });
  };

  const settle = (path: string, asked: number): void => {
    if (ignoresSyncs) return;
    if (folders.has(path)) {
      const isCertain = (one: NameStep): boolean => one.folder === path && one.step <= asked;
      for (const { change } of nameSteps.filter(isCertain)) change(firmNames);
      nameSteps = nameSteps.filter((one) => !isCertain(one));
      return;
    }
    const file = fileAt(path);
    if (!file) return;
    for (const versions of [...file.pages.values(), file.sizes]) forgetBefore(versions, asked);
  };

  return {
    perform(done) {
      step += 1;
      if (done.kind === 'mark') return;
      if (!isWithin(folder, done.path)) return;
      switch (done.kind) {
        case 'create': {
          const file = fileAt(done.path);
          if (file) {
            if (done.isEmptied) resize(file, 0);
            return;
          }
          const made: DiskFile = { pages: new Map(), sizes: [{ step: 0, content: 0 }] };
          changeNames(done.path, (of) => of.set(done.path, made));
          return;
        }
        case 'write': {
          const file = fileAt(done.path);
          if (file) write(file, done.at ?? newest(file.sizes), done.bytes);
          return;
        }
        case 'resize': {
          const file = fileAt(done.path);
          if (file) resize(file, done.bytes);
          return;
        }
        case 'rename': {
          const file = fileAt(done.path);
          if (!file) return;
          changeNames(done.path, (of) => {
            of.delete(done.path);
            of.set(done.to, file);
          });
          return;
        }
        case 'remove':
          changeNames(done.path, (of) => of.delete(done.path));
          return;
        case 'makeFolder':
          folders.add(done.path);
          return;
        case 'syncBegins':
          syncs.set(`${done.thread} ${done.path}`, step);
          return;
        case 'syncEnds':
          settle(done.path, syncs.get(`${done.thread} ${done.path}`) ?? 0);
          return;
        default:
      }
    },

    cut(into, loss, random) {
      const below = (limit: number): number => Math.floor(random.uniform() * limit);
      const choose = <Content>(versions: Versions<Content>): Content => {
        if (loss === 'nothing') return newest(versions);
        const index = loss === 'everything' ? 0 : below(versions.length);
        return (versions[index] ?? lastOf(versions)).content;
      };
      const left = new Map(firmNames);
      for (const of of folders) {
        // What was done to the names of a folder reaches the disk in its order, up to some point.
        const steps = nameSteps.filter((one) => one.folder === of);
        const kept = loss === 'nothing' ? steps.length : loss === 'everything' ? 0 : below(steps.length + 1);
        for (const { change } of steps.slice(0, kept)) change(left);
      }
      const unit = random.uniform() < 0.25 ? SECTOR_BYTES : PAGE_BYTES;
      for (const path of folders) mkdirSync(join(into, path.slice(folder.length)), { recursive: true });
      for (const [path, file] of left) {
        // Memory that processes share; it is made anew by whoever opens the database first.
        if (basename(path).endsWith('-shm')) continue;
        const content = new Uint8Array(choose(file.sizes));
        for (const [page, versions] of file.pages) {
          for (let offset = 0; offset < PAGE_BYTES; offset += unit) {
            const at = page * PAGE_BYTES + offset;
            if (at >= content.length) break;
            const part = choose(versions).subarray(offset, offset + Math.min(unit, content.length - at));
            content.set(part, at);
          }
        }
        const target = join(into, path.slice(folder.length));
        mkdirSync(dirname(target), { recursive: true });
        writeFileSync(target, content);
      }
    },
  };
}

function isWithin(folder: string, path: string): boolean {
  return path === folder || path.startsWith(`${folder}/`);
}

function lastOf<Content>(versions: Versions<Content>): Version<Content> {
  const last = versions.at(-1);
  if (last === undefined) throw new Error('A file has no content at all');
  return last;
}

function newest<Content>(versions: Versions<Content>): Content {
  return lastOf(versions).content;
}

/** What a sync has made certain replaces all that came before it. */
function forgetBefore(versions: Versions<unknown>, asked: number): void {
  const certain = versions.findLastIndex((version) => version.step <= asked);
  if (certain > 0) versions.splice(0, certain);
}
