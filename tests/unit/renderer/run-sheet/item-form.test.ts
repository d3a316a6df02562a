import { describe, expect, it } from 'vitest';
import { packSchema, setupSchema, toolSchema } from '../../../../shared-lib/run-sheet/setup-model.ts';
import { demoItems } from '../../../../renderer/run-sheet/items/demo-items.ts';
import {
  asKeptOrOther,
  emptyPackForm,
  emptySetupForm,
  emptyToolForm,
  packForm,
  readPackForm,
  readSetupForm,
  readToolForm,
  setupForm,
  toolForm,
} from '../../../../renderer/run-sheet/items/item-form.ts';
import {
  packWords,
  setupName,
  setupWords,
  toolWords,
} from '../../../../renderer/run-sheet/items/item-sentences.ts';

const plainSpaces = (text: string): string => text.replaceAll(/\s/g, ' ');

describe('the form of a tool', () => {
  it('takes a name alone, since not every manual states vibration and noise', () => {
    const reading = readToolForm({ ...emptyToolForm, name: ' Hollin H5 (demo) ' }, 'tool-1');
    expect(reading).toEqual({
      value: {
        id: 'tool-1',
        name: 'Hollin H5 (demo)',
        supply: 'battery',
        declaredVibrationMps2: null,
        declaredNoiseDbA: null,
        isArchived: false,
      },
    });
  });

  it('takes a comma as the decimal point and a unit after the number, and gives back what it was given', () => {
    const form = { name: 'Hollin H5 (demo)', supply: 'air', vibration: '12,5 m/s²', noise: '98' } as const;
    const reading = readToolForm(form, 'tool-1');
    if (!('value' in reading)) throw new Error(reading.missing.join());
    expect(reading.value.declaredVibrationMps2).toBe(12.5);
    expect(toolSchema.parse(reading.value)).toEqual(reading.value);
    expect(readToolForm(toolForm(reading.value), 'tool-1')).toEqual(reading);
  });

  it('names what cannot be read instead of leaving it out', () => {
    const form = { ...emptyToolForm, name: 'Hollin H5 (demo)', vibration: 'much', noise: '200' };
    expect(readToolForm(form, 'tool-1')).toEqual({ missing: ['the vibration', 'the noise'] });
  });
});

describe('the form of a pack', () => {
  it('refuses a pack of no volts and one without a name', () => {
    expect(readPackForm({ ...emptyPackForm, voltage: '0' }, 'pack-1')).toEqual({
      missing: ['the name', 'the voltage'],
    });
  });

  it('gives back what it was given', () => {
    const reading = readPackForm({ name: 'Pack 2 (demo)', voltage: '18', capacity: '5.2' }, 'pack-1');
    if (!('value' in reading)) throw new Error(reading.missing.join());
    expect(packSchema.parse(reading.value)).toEqual(reading.value);
    expect(readPackForm(packForm(reading.value), 'pack-1')).toEqual(reading);
  });
});

describe('the form of a setup', () => {
  it('needs a tool, and a name for a socket that has a mass', () => {
    expect(readSetupForm({ ...emptySetupForm, socketMass: '300 g' }, 'setup-1')).toEqual({
      missing: ['the tool', 'the name of the socket'],
    });
  });

  it('gives back what it was given', () => {
    const form = {
      toolId: 'tool-1',
      packId: 'pack-1',
      setting: 'speed 3',
      socketName: 'Impact socket 24 mm (demo)',
      socketMass: '300 g',
      socketLength: '50 mm',
    };
    const reading = readSetupForm(form, 'setup-1');
    if (!('value' in reading)) throw new Error(reading.missing.join());
    expect(setupSchema.parse(reading.value)).toEqual(reading.value);
    expect(reading.value.socket).toEqual({ name: 'Impact socket 24 mm (demo)', massKg: 0.3, lengthM: 0.05 });
    expect(readSetupForm(setupForm(reading.value), 'setup-1')).toEqual(reading);
  });
});

describe('a changed setup', () => {
  const before = {
    id: 'setup-1',
    toolId: 'tool-1',
    packId: 'pack-2',
    setting: 'speed 3',
    socket: { name: 'Socket (demo)', massKg: null, lengthM: null },
    isArchived: false,
  };
  const other = { ...before, packId: 'pack-5' };

  it('is stored as another one where trials go by what it was', () => {
    expect(asKeptOrOther(other, before, 'new')).toEqual({ ...other, id: 'new' });
    expect(asKeptOrOther({ ...before, socket: null }, before, 'new').id).toBe('new');
  });

  it('stays itself where nothing goes by it, or more is said of the same socket', () => {
    expect(asKeptOrOther(other, null, 'new')).toEqual(other);
    const weighed = { ...before, socket: { name: 'socket (demo)', massKg: 0.3, lengthM: 0.05 } };
    expect(asKeptOrOther(weighed, before, 'new')).toEqual(weighed);
  });
});

describe('what stands in the lists', () => {
  let nextId = 0;
  const items = demoItems(() => `id-${(nextId += 1)}`);
  const lists = {
    tools: items.flatMap((item) => (item.kind === 'tool' ? [item.tool] : [])),
    packs: items.flatMap((item) => (item.kind === 'pack' ? [item.pack] : [])),
    setups: items.flatMap((item) => (item.kind === 'setup' ? [item.setup] : [])),
  };

  it('says of each demo tool what it is, all marked demo and all as the contract wants them', () => {
    for (const tool of lists.tools) expect(toolSchema.parse(tool).name).toMatch(/ \(demo\)$/);
    for (const pack of lists.packs) expect(packSchema.parse(pack).name).toMatch(/ \(demo\)$/);
    for (const setup of lists.setups) expect(setupSchema.parse(setup)).toEqual(setup);
    const [tool] = lists.tools;
    const [pack] = lists.packs;
    const [setup] = lists.setups;
    if (!tool || !pack || !setup) throw new Error('There are demo items');
    expect(plainSpaces(toolWords(tool))).toBe('battery, declared vibration 11 m/s²');
    expect(plainSpaces(packWords(pack))).toBe('18 V, 5 Ah');
    expect(setupName(setup, lists)).toBe('Hollin H5 (demo), Pack 1 (demo)');
    expect(plainSpaces(setupWords(setup))).toBe('Impact socket 24 mm (demo) (0.3 kg, 50 mm)');
  });

  it('names a setup whose tool is gone from the lists', () => {
    const [setup] = lists.setups;
    if (!setup) throw new Error('There are demo setups');
    expect(setupName(setup, { ...lists, tools: [], packs: [] })).toBe('A tool that is not listed');
  });
});
