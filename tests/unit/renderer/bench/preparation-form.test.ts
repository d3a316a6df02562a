import { describe, expect, it } from 'vitest';
import {
  hasPackComeOff,
  isCarriedOver,
  preparationFields,
  readPreparation,
  takenOver,
} from '../../../../renderer/bench/preparation-form.ts';
import { requests } from '../../../../shared-lib/api-contract.ts';
import { type Ask, askSchema, type Preparation } from '../../../../shared-lib/run-sheet/setup-model.ts';
import { demoEntry, demoSheet, nothingFound } from '../../../helpers/scripted-sheet.ts';

const allAsks: readonly Ask[] = [...askSchema.values];
const foundBefore: Preparation = {
  packRestedV: 20.4,
  packTemperatureC: 22,
  toolTemperatureC: 31.5,
  fastener: 'M20 stud 3',
  fastenerPullsSinceNew: 14,
  lubricant: 'dry',
  inletPressureKpa: 630,
  hoseBoreMm: 10,
  isCarriedOver: true,
};
const fields = preparationFields(allAsks, true);

const valueOf = (reading: ReturnType<typeof readPreparation>) => {
  if ('missing' in reading) throw new Error(`Not read: ${reading.missing.join(', ')}`);
  return reading.value;
};

describe('what is asked for when a setup is taken up', () => {
  it('is what the plan asks for, and the pack that comes off where one can', () => {
    expect(preparationFields([], true)).toEqual([]);
    expect(preparationFields(['packVolts'], false).map(({ label }) => label)).toEqual(['Pack volts, rested']);
    expect(preparationFields(['packVolts'], true).map(({ label }) => label)).toEqual([
      'Pack volts, rested',
      'Volts, pack taken off',
    ]);
    expect(preparationFields(['airPressure'], true).map(({ label }) => label)).toEqual([
      'Pressure while running',
      'Hose bore',
    ]);
  });

  it('can be a pack taken off only after something was pulled', () => {
    expect(hasPackComeOff({ ...demoSheet, doneCount: 0, current: demoEntry('e1', { round: 1 }) })).toBe(
      false,
    );
    expect(hasPackComeOff({ ...demoSheet, doneCount: 1 })).toBe(true);
  });

  it('is confirmed by a press alone: untouched, everything is as it was found before, and said to be so', () => {
    expect(valueOf(readPreparation(fields, foundBefore, {}))).toEqual({
      preparation: foundBefore,
      lastPackRestedV: null,
    });
  });

  it('is not carried over where nothing was known before', () => {
    expect(valueOf(readPreparation(fields, nothingFound, {})).preparation).toEqual(nothingFound);
  });

  it('keeps nothing that the plan does not ask for', () => {
    const asked = preparationFields(['fastener'], true);
    expect(valueOf(readPreparation(asked, foundBefore, {})).preparation).toEqual({
      ...nothingFound,
      fastener: 'M20 stud 3',
      fastenerPullsSinceNew: 14,
      isCarriedOver: true,
    });
  });

  it('is read anew once anything of it was typed, with units, comma or point', () => {
    const { preparation, lastPackRestedV } = valueOf(
      readPreparation(fields, foundBefore, {
        packRestedV: '20,1 V',
        toolTemperatureC: '35',
        inletPressureKpa: '6.3 bar',
        hoseBoreMm: '0.5 in',
        fastener: ' M20 stud 4 ',
        fastenerPullsSinceNew: '0',
        lastPackRestedV: '18.9v',
      }),
    );
    expect(preparation).toEqual({
      ...foundBefore,
      packRestedV: 20.1,
      toolTemperatureC: 35,
      inletPressureKpa: 630,
      hoseBoreMm: 12.7,
      fastener: 'M20 stud 4',
      fastenerPullsSinceNew: 0,
      isCarriedOver: false,
    });
    expect(lastPackRestedV).toBe(18.9);
  });

  it('takes the same value typed again for one that was read anew', () => {
    const typed = { packRestedV: '20.4' };
    expect(valueOf(readPreparation(fields, foundBefore, typed)).preparation.isCarriedOver).toBe(false);
    expect(isCarriedOver('packRestedV', foundBefore, typed)).toBe(false);
    expect(isCarriedOver('packRestedV', foundBefore, {})).toBe(true);
    expect(isCarriedOver('packRestedV', nothingFound, {})).toBe(false);
  });

  it('stays carried over where only the volts of the pack taken off were typed', () => {
    const typed = { lastPackRestedV: '18.9' };
    expect(valueOf(readPreparation(fields, foundBefore, typed)).preparation.isCarriedOver).toBe(true);
  });

  it('may be emptied: then it is not known', () => {
    const { preparation } = valueOf(
      readPreparation(fields, foundBefore, { packRestedV: '', lubricant: ' ' }),
    );
    expect(preparation).toMatchObject({ packRestedV: null, lubricant: null });
  });

  it('names the fields that cannot be taken instead of repairing them', () => {
    const typed = { packRestedV: 'full', inletPressureKpa: '-3', fastenerPullsSinceNew: '1.5' };
    expect(readPreparation(fields, foundBefore, typed)).toEqual({
      missing: ['Pack volts, rested', 'Its pulls since new', 'Pressure while running'],
    });
  });

  it('shows what was found before with its unit, in a form that its own field reads back', () => {
    for (const { key, read } of fields) {
      const text = takenOver(key, foundBefore);
      if (key === 'lastPackRestedV') expect(text).toBe('');
      else if (read !== null) expect(read(text)).not.toHaveProperty('problem');
    }
    expect(takenOver('packRestedV', foundBefore)).toBe('20.4\u202fV');
    expect(takenOver('inletPressureKpa', foundBefore)).toBe('630\u202fkPa');
  });

  it('is of a form that the services take', () => {
    const typed = { inletPressureKpa: '90 psi', packRestedV: '20.1' };
    const request = { entryId: 'e1', ...valueOf(readPreparation(fields, foundBefore, typed)) };
    expect(requests.confirmSetup.params.safeParse(request).success).toBe(true);
  });
});
