import { formatSignificant } from '../../../shared-lib/format-significant.ts';
import { quantityReader } from '../../ui/read-quantity.ts';
import type { Pack, Setup, Supply, Tool } from '../../../shared-lib/run-sheet/setup-model.ts';
import { isSameSetup } from '../../../shared-lib/run-sheet/setup-use.ts';
import { FormReader, type FormReading, plainNumberReader } from '../../ui/form-reader.ts';

/** The ranges of the contract, so that a field says at once what the services would refuse. */
export const itemReaders = {
  vibration: quantityReader({
    kind: 'acceleration',
    unit: 'mPerS2',
    min: 0,
    max: 100,
    isMinExcluded: true,
  }),
  noise: plainNumberReader(40, 150),
  voltage: plainNumberReader(0.1, 1000),
  capacity: plainNumberReader(0.1, 100),
  mass: quantityReader({ kind: 'mass', unit: 'kg', min: 0, max: 100, isMinExcluded: true }),
  length: quantityReader({ kind: 'length', unit: 'mm', min: 0, max: 10, isMinExcluded: true }),
} as const;

export interface ToolForm {
  readonly name: string;
  readonly supply: Supply;
  readonly vibration: string;
  readonly noise: string;
}
export const emptyToolForm: ToolForm = { name: '', supply: 'battery', vibration: '', noise: '' };

export function toolForm(tool: Tool): ToolForm {
  const { declaredVibrationMps2, declaredNoiseDbA } = tool;
  return {
    name: tool.name,
    supply: tool.supply,
    vibration: declaredVibrationMps2 === null ? '' : formatSignificant(declaredVibrationMps2, 'mPerS2'),
    noise: plain(declaredNoiseDbA),
  };
}

export function readToolForm(form: ToolForm, id: string): FormReading<Tool> {
  const reader = new FormReader();
  const tool: Tool = {
    id,
    name: reader.text('the name', form.name),
    supply: form.supply,
    declaredVibrationMps2: reader.optional('the vibration', form.vibration, itemReaders.vibration),
    declaredNoiseDbA: reader.optional('the noise', form.noise, itemReaders.noise),
    isArchived: false,
  };
  return reader.missing.length > 0 ? { missing: reader.missing } : { value: tool };
}

export interface PackForm {
  readonly name: string;
  readonly voltage: string;
  readonly capacity: string;
}
export const emptyPackForm: PackForm = { name: '', voltage: '', capacity: '' };

export function packForm({ name, nominalV, capacityAh }: Pack): PackForm {
  return { name, voltage: plain(nominalV), capacity: plain(capacityAh) };
}

export function readPackForm(form: PackForm, id: string): FormReading<Pack> {
  const reader = new FormReader();
  const pack: Pack = {
    id,
    name: reader.text('the name', form.name),
    nominalV: reader.optional('the voltage', form.voltage, itemReaders.voltage),
    capacityAh: reader.optional('the capacity', form.capacity, itemReaders.capacity),
    isArchived: false,
  };
  return reader.missing.length > 0 ? { missing: reader.missing } : { value: pack };
}

export const NO_PACK = 'none';

export interface SetupForm {
  readonly toolId: string | null;
  readonly packId: string;
  readonly setting: string;
  readonly socketName: string;
  readonly socketMass: string;
  readonly socketLength: string;
}
export const emptySetupForm: SetupForm = {
  toolId: null,
  packId: NO_PACK,
  setting: '',
  socketName: '',
  socketMass: '',
  socketLength: '',
};

export function setupForm({ toolId, packId, setting, socket }: Setup): SetupForm {
  return {
    toolId,
    packId: packId ?? NO_PACK,
    setting,
    socketName: socket?.name ?? '',
    socketMass: socket?.massKg == null ? '' : formatSignificant(socket.massKg, 'kg'),
    socketLength: socket?.lengthM == null ? '' : formatSignificant(socket.lengthM, 'mm'),
  };
}

/** Mass and length belong to a socket, so they make its name needed. */
export function readSetupForm(form: SetupForm, id: string): FormReading<Setup> {
  const reader = new FormReader();
  if (form.toolId === null) reader.missing.push('the tool');
  const massKg = reader.optional('the mass of the socket', form.socketMass, itemReaders.mass);
  const lengthM = reader.optional('the length of the socket', form.socketLength, itemReaders.length);
  const name = form.socketName.trim();
  if (name === '' && (massKg ?? lengthM) !== null) reader.missing.push('the name of the socket');
  const setup: Setup = {
    id,
    toolId: form.toolId ?? '',
    packId: form.packId === NO_PACK ? null : form.packId,
    setting: form.setting.trim(),
    socket: name === '' ? null : { name, massKg, lengthM },
    isArchived: false,
  };
  return reader.missing.length > 0 ? { missing: reader.missing } : { value: setup };
}

/**
 * What a changed setup is stored as: under its own id, or under `otherId` where `kept`, the form that something goes by, was
 * of another tool, pack, setting or socket. `kept` null: nothing goes by it.
 */
export function asKeptOrOther(setup: Setup, kept: Setup | null, otherId: string): Setup {
  return kept === null || isSameSetup(kept, setup) ? setup : { ...setup, id: otherId };
}

function plain(value: number | null): string {
  return value === null ? '' : String(value);
}
