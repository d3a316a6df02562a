import { describe, expect, it } from 'vitest';
import { toolDetailsSchema } from '../../../../shared-lib/catalogue/catalogue-model.ts';
import { toolSchema } from '../../../../shared-lib/run-sheet/setup-model.ts';
import {
  catalogueCautions,
  catalogueForm,
  type CatalogueForm,
  claimText,
  emptyCatalogueForm,
  readCatalogueForm,
} from '../../../../renderer/tools/tool/tool-form.ts';
import { demoTool, noToolDetails } from '../../../helpers/scripted-catalogue.ts';

const units = { torqueUnit: 'Nm', currency: 'EUR' } as const;

const typedForm: CatalogueForm = {
  ...emptyCatalogueForm,
  name: ' Hollin H5 (demo) ',
  maker: 'Hollin (demo)',
  model: 'H5',
  toolClass: 'impactWrench',
  driveSize: 'square12.5',
  length: '6 in',
  massBare: '3,5 lb',
  massLoaded: '2300 g',
  vibration: '12.5',
  noise: '98',
  claims: [
    { id: 'c1', kind: 'fastening', torque: '250 ft·lbf', source: 'box', statedOn: '' },
    { id: 'c2', kind: 'breakaway', torque: '1200', source: 'data sheet', statedOn: '2026-01-10' },
  ],
  prices: [{ id: 'p1', kind: 'bare', money: '249,90 €', on: '2026-02-01', source: '' }],
};

function read(form: CatalogueForm) {
  const reading = readCatalogueForm(form, 'tool-1', null, units);
  if ('missing' in reading) throw new Error(reading.missing.join());
  return reading.value;
}

describe('the form of a tool', () => {
  it('takes a name alone', () => {
    expect(read({ ...emptyCatalogueForm, name: 'Hollin H5 (demo)' })).toEqual({
      tool: demoTool('tool-1', 'Hollin H5 (demo)').tool,
      details: noToolDetails,
    });
  });

  // Pound and inch are exact (0.45359237 kg, 25.4 mm); the foot-pound force is their product with standard gravity.
  it('takes units as they come and stores SI', () => {
    const { tool, details } = read(typedForm);
    expect(toolSchema.parse(tool)).toEqual(tool);
    expect(toolDetailsSchema.parse(details)).toEqual(details);
    expect(tool.declaredVibrationMps2).toBe(12.5);
    expect(details.lengthM).toBeCloseTo(0.1524, 12);
    expect(details.massBareKg).toBeCloseTo(3.5 * 0.45359237, 12);
    expect(details.massLoadedKg).toBe(2.3);
    expect(details.claims.map(({ torqueNm }) => torqueNm)).toEqual([
      expect.closeTo(250 * 0.45359237 * 9.80665 * 0.3048, 9) as number,
      1200,
    ]);
    expect(details.prices).toEqual([
      { id: 'p1', kind: 'bare', amount: 249.9, currency: 'EUR', on: '2026-02-01', source: '' },
    ]);
  });

  it('stores what it shows to the last digit, though what it shows is rounded', () => {
    const { tool, details } = read({ ...typedForm, massBare: '3.527396 lb', length: '0.333333333 ft' });
    const stored = demoTool(tool.id, tool.name, { tool, details });
    for (const torqueUnit of ['Nm', 'ftLbf'] as const) {
      const again = readCatalogueForm(catalogueForm(stored, torqueUnit), 'tool-1', stored, {
        ...units,
        torqueUnit,
      });
      expect(again).toEqual({ value: { tool, details } });
    }
  });

  it('shows a claim in the unit in which it was stated as a round figure', () => {
    const [claim] = read(typedForm).details.claims;
    expect(claimText(claim!.torqueNm, 'Nm').replaceAll(/\s/g, ' ')).toBe('250 ft·lbf');
    expect(claimText(1200, 'Nm').replaceAll(/\s/g, ' ')).toBe('1200 N·m');
    expect(claimText(1200, 'ftLbf').replaceAll(/\s/g, ' ')).toBe('1200 N·m');
  });

  it('names every field that cannot be read, such as a claim in a unit of mass', () => {
    const reading = readCatalogueForm(
      {
        ...typedForm,
        name: '',
        massBare: '2 m',
        claims: [{ id: 'c1', kind: 'fastening', torque: '250 kg', source: '', statedOn: '' }],
        prices: [{ id: 'p1', kind: 'kit', money: '$300', on: '', source: '' }],
      },
      'tool-1',
      null,
      units,
    );
    expect(reading).toEqual({
      missing: [
        'the name',
        'the bare mass',
        'the torque of claim 1',
        'the source of claim 1',
        'the amount of price 1',
        'the day of price 1',
      ],
    });
  });

  it('takes a line that was added and never filled in for none', () => {
    const { details } = read({
      ...typedForm,
      claims: [{ id: 'c1', kind: 'fastening', torque: '', source: ' ', statedOn: '' }],
      prices: [{ id: 'p1', kind: 'bare', money: '', on: '2026-02-01', source: '' }],
    });
    expect(details.claims).toEqual([]);
    expect(details.prices).toEqual([]);
  });

  it('says when a tool has less mass with its pack than without', () => {
    expect(catalogueCautions(read(typedForm))).toEqual([]);
    expect(catalogueCautions(read({ ...typedForm, massLoaded: '1 kg' }))).toHaveLength(1);
  });

  it('leaves an archived tool archived', () => {
    const stored = demoTool('tool-1', 'Hollin H5 (demo)', { tool: { isArchived: true } });
    const reading = readCatalogueForm(catalogueForm(stored, 'Nm'), 'tool-1', stored, units);
    expect('value' in reading && reading.value.tool.isArchived).toBe(true);
  });
});
