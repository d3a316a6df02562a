import type { RequestResult } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import {
  type Pack,
  packSchema,
  type Setup,
  setupSchema,
  socketSchema,
  type Tool,
  toolSchema,
} from '../../shared-lib/run-sheet/setup-model.ts';
import { isSameSetup } from '../../shared-lib/run-sheet/setup-use.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { fromJsonColumn, toJsonColumn } from './json-column.ts';
import { foldForSearch } from './search-folding.ts';
import { refuseOtherSetup } from './setup-use.ts';

interface SetupRow extends Omit<Setup, 'socket' | 'isArchived'> {
  socket_json: string | null;
  is_archived: number;
}

/** All tools, packs and setups, archived ones too; tools and packs by name. */
export function listBenchItems(database: ReadableDatabase): RequestResult<'listBenchItems'> {
  return reading(() => ({
    tools: database
      .prepare<[], Omit<Tool, 'isArchived'> & { is_archived: number }>(
        `SELECT id, name, supply, declared_vibration_mps2 AS declaredVibrationMps2,
           declared_noise_dba AS declaredNoiseDbA, is_archived
         FROM tool ORDER BY name_folded, id`,
      )
      .all()
      .map(({ is_archived, ...tool }) => toolSchema.parse({ ...tool, isArchived: is_archived === 1 })),
    packs: database
      .prepare<[], Omit<Pack, 'isArchived'> & { is_archived: number }>(
        `SELECT id, name, nominal_v AS nominalV, capacity_ah AS capacityAh, is_archived
         FROM pack ORDER BY name_folded, id`,
      )
      .all()
      .map(({ is_archived, ...pack }) => packSchema.parse({ ...pack, isArchived: is_archived === 1 })),
    setups: database
      .prepare<[], SetupRow>(
        `SELECT setup.id, tool_id AS toolId, pack_id AS packId, setting, socket_json, setup.is_archived
         FROM setup JOIN tool ON tool.id = tool_id LEFT JOIN pack ON pack.id = pack_id
         ORDER BY tool.name_folded, pack.name_folded, setting, setup.id`,
      )
      .all()
      .map(toSetup),
  }));
}

/**
 * Stores a new tool, or the new form of one; run sheets and trials keep their copies.
 *
 * Errors: AppError 'invalid-request' where another tool in use has the same name.
 */
export function saveTool(database: WritableDatabase, tool: Tool): void {
  writing(database, () => {
    refuseTwin(database, 'tool', tool);
    database
      .prepare(
        `INSERT INTO tool (id, name, name_folded, supply, declared_vibration_mps2, declared_noise_dba, is_archived)
         VALUES (?, ?, ?, ?, ?, ?, ?)
         ON CONFLICT (id) DO UPDATE SET name = excluded.name, name_folded = excluded.name_folded,
           supply = excluded.supply, declared_vibration_mps2 = excluded.declared_vibration_mps2,
           declared_noise_dba = excluded.declared_noise_dba, is_archived = excluded.is_archived`,
      )
      .run(
        tool.id,
        tool.name,
        foldForSearch(tool.name),
        tool.supply,
        tool.declaredVibrationMps2,
        tool.declaredNoiseDbA,
        Number(tool.isArchived),
      );
  });
}

/** Likewise for a pack. Errors: AppError 'invalid-request' where another pack in use has the same name. */
export function savePack(database: WritableDatabase, pack: Pack): void {
  writing(database, () => {
    refuseTwin(database, 'pack', pack);
    database
      .prepare(
        `INSERT INTO pack (id, name, name_folded, nominal_v, capacity_ah, is_archived) VALUES (?, ?, ?, ?, ?, ?)
         ON CONFLICT (id) DO UPDATE SET name = excluded.name, name_folded = excluded.name_folded,
           nominal_v = excluded.nominal_v, capacity_ah = excluded.capacity_ah, is_archived = excluded.is_archived`,
      )
      .run(
        pack.id,
        pack.name,
        foldForSearch(pack.name),
        pack.nominalV,
        pack.capacityAh,
        Number(pack.isArchived),
      );
  });
}

/**
 * Likewise for a setup. One that trials or open run sheets go by stays the same tool, pack, setting and socket.
 *
 * Errors: AppError 'bench-item-not-found' where its tool or pack is not there; 'invalid-state' where it would become
 * another one under its trials; 'invalid-request' where another setup in use would read just like it.
 */
export function saveSetup(database: WritableDatabase, setup: Setup): void {
  writing(database, () => {
    requireItem(database, 'tool', setup.toolId);
    if (setup.packId !== null) requireItem(database, 'pack', setup.packId);
    const before = database
      .prepare<[string], SetupRow>(`SELECT ${setupColumns} FROM setup WHERE id = ?`)
      .get(setup.id);
    if (before !== undefined) refuseOtherSetup(database, toSetup(before), setup);
    if (!setup.isArchived) refuseTwinSetup(database, setup);
    database
      .prepare(
        `INSERT INTO setup (id, tool_id, pack_id, setting, socket_json, is_archived) VALUES (?, ?, ?, ?, ?, ?)
         ON CONFLICT (id) DO UPDATE SET tool_id = excluded.tool_id, pack_id = excluded.pack_id,
           setting = excluded.setting, socket_json = excluded.socket_json, is_archived = excluded.is_archived`,
      )
      .run(
        setup.id,
        setup.toolId,
        setup.packId,
        setup.setting,
        setup.socket && toJsonColumn(socketSchema, setup.socket),
        Number(setup.isArchived),
      );
  });
}

const setupColumns = 'id, tool_id AS toolId, pack_id AS packId, setting, socket_json, is_archived';

function toSetup({ socket_json, is_archived, ...row }: SetupRow): Setup {
  return setupSchema.parse({
    ...row,
    socket:
      socket_json === null ? null : fromJsonColumn(socketSchema, socket_json, `socket of setup ${row.id}`),
    isArchived: is_archived === 1,
  });
}

/** Whoever reads "Hollin H5, pack 2" later must know which one it was. */
function refuseTwin(
  database: ReadableDatabase,
  kind: 'tool' | 'pack',
  { id, name, isArchived }: Pick<Tool, 'id' | 'name' | 'isArchived'>,
): void {
  if (isArchived) return;
  const twin = database
    .prepare<[string, string]>(`SELECT 1 FROM ${kind} WHERE name_folded = ? AND id <> ? AND is_archived = 0`)
    .get(foldForSearch(name), id);
  if (twin === undefined) return;
  throw new AppError(
    'invalid-request',
    `There is a ${kind} "${name}" already. Nothing was stored. Give this one a name of its own: trials tell them apart by their names.`,
    { itemId: id },
  );
}

function refuseTwinSetup(database: ReadableDatabase, setup: Setup): void {
  const twin = database
    .prepare<[string, string, string | null], SetupRow>(
      `SELECT ${setupColumns} FROM setup
       WHERE id <> ? AND tool_id = ? AND pack_id IS ? AND is_archived = 0`,
    )
    .all(setup.id, setup.toolId, setup.packId)
    .map(toSetup)
    .find((other) => isSameSetup(other, setup));
  if (twin === undefined) return;
  throw new AppError(
    'invalid-request',
    'There is a setup with the same tool, pack, setting and socket already. Nothing was stored. Use that one, or say what is different in the setting or in the name of the socket.',
    { itemId: setup.id, twinId: twin.id },
  );
}

function requireItem(database: ReadableDatabase, kind: 'tool' | 'pack', id: string): void {
  if (database.prepare<[string]>(`SELECT 1 FROM ${kind} WHERE id = ?`).get(id) !== undefined) return;
  throw new AppError(
    'bench-item-not-found',
    `The setup names a ${kind} that is not there. Nothing was stored. Choose one from the list, or add it first.`,
    { itemId: id },
  );
}
