import { DuckDBInstance } from '@duckdb/node-api';

export interface DuckDb {
  /** Rows as objects; big numbers as text. */
  query(sql: string): Promise<Record<string, unknown>[]>;
  close(): void;
}

/** An engine that knows nothing of the program; relative names in SQL are looked for in `folder`. */
export async function openDuckDb(folder: string): Promise<DuckDb> {
  const instance = await DuckDBInstance.create(':memory:', { threads: '1' });
  const connection = await instance.connect();
  await connection.run(`SET file_search_path = '${folder.replaceAll("'", "''")}'`);
  return {
    async query(sql) {
      const reader = await connection.runAndReadAll(sql);
      return reader.getRowObjectsJson();
    },
    close() {
      connection.closeSync();
      instance.closeSync();
    },
  };
}
