import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { inflateRawSync } from 'node:zlib';
import { Ajv, type ValidateFunction } from 'ajv';
import addFormatsModule from 'ajv-formats';
import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createPackageBench, type PackageBench } from './package-support/package-bench.ts';
import { fillFullBench, picture } from './package-support/full-bench.ts';
import { type PackageParts, partsOf, textOf } from './package-support/package-parts.ts';

interface Field {
  readonly name: string;
  readonly type: string;
  readonly constraints?: {
    readonly required?: boolean;
    readonly unique?: boolean;
    readonly enum?: readonly (string | number)[];
  };
}
interface Resource {
  readonly profile: string;
  readonly name: string;
  readonly path: string;
  readonly bytes: number;
  readonly hash: string;
  readonly schema?: {
    readonly fields: readonly Field[];
    readonly foreignKeys?: readonly {
      readonly fields: string;
      readonly reference: { readonly resource: string; readonly fields: string };
    }[];
  };
}

let bench: PackageBench;
let file: string;
let parts: PackageParts;
let resources: readonly Resource[];

beforeAll(async () => {
  bench = createPackageBench({ id: 'bench-a', name: 'Bench A' });
  await fillFullBench(bench.database);
  file = await bench.write('standard.zip', {
    published: [{ fileName: 'comparison.json', json: '{"asked":{}}' }],
  });
  parts = partsOf(file);
  resources = (JSON.parse(textOf(parts, 'datapackage.json')) as { resources: Resource[] }).resources;
}, 120_000);

afterAll(() => {
  bench.remove();
});

/** Draft 4 of JSON Schema; of what changed since, these schemas use nothing but the name of their dialect. */
function published(name: string): ValidateFunction {
  const path = fileURLToPath(new URL(`../fixtures/frictionless/${name}.json`, import.meta.url));
  const { $schema, ...schema } = JSON.parse(readFileSync(path, 'utf8')) as Record<string, unknown>;
  expect($schema).toBe('http://json-schema.org/draft-04/schema#');
  const ajv = new Ajv({ strict: false, allErrors: true });
  addFormatsModule.default(ajv);
  // Of the editor they were made with; it says nothing about a text.
  ajv.addFormat('textarea', true);
  return ajv.compile(schema);
}

describe('datapackage.json, held against the published schemas', () => {
  it('is a Frictionless Data Package', () => {
    const isValid = published('data-package');
    const descriptor = JSON.parse(textOf(parts, 'datapackage.json')) as Record<string, unknown>;
    expect(isValid(descriptor), JSON.stringify(isValid.errors)).toBe(true);
    expect(isValid({ ...descriptor, resources: [] })).toBe(false);
    expect(isValid({ ...descriptor, name: 'With Capitals' })).toBe(false);
  });

  it('describes each table as a tabular resource, and each other file as a resource', () => {
    const isTable = published('tabular-data-resource');
    const isResource = published('data-resource');
    const tables = resources.filter(({ profile }) => profile === 'tabular-data-resource');
    expect(tables.length).toBeGreaterThan(200);
    for (const resource of resources) {
      const isValid = resource.schema === undefined ? isResource : isTable;
      expect(isValid(resource), `${resource.path} ${JSON.stringify(isValid.errors)}`).toBe(true);
    }
    const [first] = tables;
    expect(isTable({ ...first, schema: { fields: [{ type: 'no-such-type', name: 'x' }] } })).toBe(false);
  });

  it('names every file with its size and SHA-256, and nothing else', () => {
    const names = resources.map(({ path }) => path);
    expect([...names, 'datapackage.json'].toSorted()).toEqual(Object.keys(parts).toSorted());
    expect(new Set(resources.map(({ name }) => name)).size).toBe(resources.length);
    for (const { path, bytes, hash } of resources) {
      expect(parts[path]?.length, path).toBe(bytes);
      expect(hash, path).toBe(
        `sha256:${createHash('sha256')
          .update(parts[path] ?? new Uint8Array())
          .digest('hex')}`,
      );
    }
  });
});

describe('the tables, held against their own Table Schemas', () => {
  const rowsOf = ({ path }: Resource): Record<string, string>[] =>
    parse(textOf(parts, path), { columns: true, record_delimiter: '\r\n' });
  const tables = (): readonly (Resource & { schema: NonNullable<Resource['schema']> })[] =>
    resources.flatMap((resource) =>
      resource.schema === undefined ? [] : [{ ...resource, schema: resource.schema }],
    );

  it('have the columns that they name, with values of their types and within their constraints', () => {
    for (const table of tables()) {
      const { fields } = table.schema;
      const [firstLine = ''] = textOf(parts, table.path).split('\r\n');
      const header = firstLine.split(',');
      expect(header, table.path).toEqual(fields.map(({ name }) => name));
      const rows = rowsOf(table);
      for (const { name, type, constraints } of fields) {
        const values = rows.map((row) => row[name] ?? '');
        const where = `${table.path} ${name}`;
        if (constraints?.required === true) expect(values, where).not.toContain('');
        if (constraints?.unique === true) expect(new Set(values).size, where).toBe(values.length);
        for (const value of values.filter((text) => text !== '')) {
          if (!isOfType(value, type)) throw new Error(`${where}: ${value} is no ${type}`);
          if (constraints?.enum && !constraints.enum.map(String).includes(value)) {
            throw new Error(`${where}: ${value} is not among ${constraints.enum.join(', ')}`);
          }
        }
      }
    }
  });

  it('refer to rows that are there', () => {
    for (const table of tables()) {
      for (const { fields, reference } of table.schema.foreignKeys ?? []) {
        const name = reference.resource === '' ? table.name : reference.resource;
        const target = tables().find((other) => other.name === name);
        if (target === undefined) throw new Error(`${table.path} refers to ${name}, which is not there`);
        const keys = new Set(rowsOf(target).map((row) => row[reference.fields]));
        for (const row of rowsOf(table)) {
          const value = row[fields] ?? '';
          if (value !== '') expect(keys.has(value), `${table.path} ${fields} ${value}`).toBe(true);
        }
      }
    }
  });

  it('keep the picture of a tool as it is', () => {
    expect(parts['photos/photo-1.png']).toEqual(picture);
  });
});

function isOfType(value: string, type: string): boolean {
  switch (type) {
    case 'integer':
      return /^[+-]?\d+$/.test(value);
    case 'number':
      return Number.isFinite(Number(value));
    case 'boolean':
      return value === 'true' || value === 'false';
    case 'datetime':
      return !Number.isNaN(Date.parse(value));
    case 'object': {
      const parsed: unknown = JSON.parse(value);
      return typeof parsed === 'object' && parsed !== null && !Array.isArray(parsed);
    }
    case 'array':
      return Array.isArray(JSON.parse(value));
    default:
      return type === 'string';
  }
}

describe('the ZIP, opened by others', () => {
  it('is found whole by an independent program, with the same bytes', () => {
    const path = 'data/trial.csv';
    expect(readByOthers(path)).toEqual(Buffer.from(parts[path] ?? []));
  });

  it('is the same to the last byte when it is made again', async () => {
    const again = await bench.write('again.zip', {
      published: [{ fileName: 'comparison.json', json: '{"asked":{}}' }],
    });
    expect(readFileSync(again).equals(readFileSync(file))).toBe(true);
  });
});

/** By `unzip`, where it is installed; else by the format itself: local header, then deflated bytes. */
function readByOthers(path: string): Buffer {
  try {
    expect(execFileSync('unzip', ['-tq', file], { encoding: 'utf8' })).toContain('No errors detected');
    return execFileSync('unzip', ['-p', file, path], { maxBuffer: 2 ** 28 });
  } catch (error) {
    if (!(error instanceof Error && 'code' in error && error.code === 'ENOENT')) throw error;
    const zip = readFileSync(file);
    const name = Buffer.from(path);
    const at = zip.indexOf(Buffer.concat([Buffer.from([name.length, 0]), zip.subarray(28, 30), name])) - 26;
    expect(zip.readUInt32LE(at)).toBe(0x04034b50);
    const start = at + 30 + name.length + zip.readUInt16LE(at + 28);
    return inflateRawSync(zip.subarray(start), { finishFlush: 2 });
  }
}
