import { createHash } from 'node:crypto';
import { z } from 'zod';
import { openZip } from '../../../main/recompute/open-zip.ts';
import type { RecomputeReport } from '../../../shared-lib/package/package-model.ts';
import type { PackageFiles } from '../../../shared-lib/recompute/package-files.ts';
import { recomputePackage } from '../../../shared-lib/recompute/recompute-package.ts';
import { readRows } from '../../../shared-lib/recompute/read-rows.ts';
import { writeCsv } from '../../../shared-lib/tables/write-csv.ts';

const descriptorSchema = z.looseObject({ resources: z.array(z.record(z.string(), z.unknown())) });

/** The files of a package, to be changed as somebody would who wants it to say something else. */
export class PackageInMemory implements PackageFiles {
  readonly #files: Map<string, Buffer>;

  constructor(files: ReadonlyMap<string, Buffer>) {
    this.#files = new Map(files);
  }

  static async read(zipPath: string): Promise<PackageInMemory> {
    const zip = openZip(zipPath);
    const files = new Map<string, Buffer>();
    for (const name of zip.names()) files.set(name, Buffer.from(await zip.bytes(name)));
    return new PackageInMemory(files);
  }

  copy(): PackageInMemory {
    return new PackageInMemory(this.#files);
  }

  /** With nothing else published than what is named. */
  publishing(...names: readonly string[]): PackageInMemory {
    const files = this.copy();
    for (const name of this.names()) {
      if (name.startsWith('published/') && !names.includes(name)) files.remove(name);
    }
    files.seal();
    return files;
  }

  names(): string[] {
    return [...this.#files.keys()];
  }

  bytes(name: string): Promise<Uint8Array> {
    return Promise.resolve(this.#contentOf(name));
  }

  text(name: string): Promise<string> {
    return Promise.resolve(this.#contentOf(name).toString());
  }

  #contentOf(name: string): Buffer {
    const content = this.#files.get(name);
    if (content === undefined) throw new Error(`There is no ${name} to be tampered with`);
    return content;
  }

  remove(name: string): void {
    if (!this.#files.delete(name)) throw new Error(`There is no ${name} to be removed`);
  }

  write(name: string, content: string): void {
    this.#files.set(name, Buffer.from(content));
  }

  /** A file as another package has it. */
  take(other: PackageInMemory, name: string): void {
    this.#files.set(name, other.#contentOf(name));
  }

  rewrite(name: string, change: (text: string) => string): void {
    const before = this.#contentOf(name).toString();
    const after = change(before);
    // A tampering that changes nothing would prove nothing.
    if (after === before) throw new Error(`Nothing in ${name} was changed`);
    this.write(name, after);
  }

  /** Cells of the rows of a table that `isMeant` picks; each has to be there. */
  changeRows(
    name: string,
    isMeant: (row: Readonly<Record<string, string | null>>) => boolean,
    change: (row: Readonly<Record<string, string | null>>) => Record<string, string | null> | null,
  ): void {
    this.rewrite(name, (csv) => {
      const [header = ''] = csv.split('\r\n');
      const columns = header.split(',');
      const rows = readRows(csv, name).flatMap((row) => {
        if (!isMeant(row)) return [row];
        const changed = change(row);
        return changed === null ? [] : [{ ...row, ...changed }];
      });
      return writeCsv([columns, ...rows.map((row) => columns.map((column) => row[column] ?? null))], {
        separator: ',',
        decimal: '.',
        guardsFormulas: false,
      });
    });
  }

  changeJson<Content>(
    name: string,
    schema: { parse(value: unknown): Content },
    change: (content: Content) => void,
  ): void {
    this.rewrite(name, (text) => {
      const content = schema.parse(JSON.parse(text));
      change(content);
      return `${JSON.stringify(content, null, 1)}\n`;
    });
  }

  /** As a tamperer would who knows how packages are sealed: sizes and SHA-256 of what is there, in the old order. */
  seal(): void {
    this.changeJson('datapackage.json', descriptorSchema, (descriptor) => {
      const listed = new Set(descriptor.resources.map((resource) => resource['path']));
      const added = this.names().filter((name) => name !== 'datapackage.json' && !listed.has(name));
      const resources = [...descriptor.resources, ...added.map((path) => ({ name: path, path }))];
      descriptor.resources = resources.flatMap((resource: Record<string, unknown>) => {
        const content = this.#files.get(String(resource['path']));
        if (content === undefined) return [];
        const hash = `sha256:${createHash('sha256').update(content).digest('hex')}`;
        return [{ ...resource, bytes: content.length, hash }];
      });
    });
  }

  recompute(): Promise<RecomputeReport> {
    return recomputePackage(this);
  }
}

/** Differences as a reader of the report gets them. */
export function differences({ findings }: RecomputeReport): string[] {
  return findings.filter(({ isDifference }) => isDifference).map(({ where, what }) => `${where}: ${what}`);
}
