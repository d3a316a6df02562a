import { describe, expect, it } from 'vitest';
import { listMissing } from '../../../../shared-lib/catalogue/list-missing.ts';
import { demoTool, kitPrice, rating } from './demo-tools.ts';

describe('what is missing for standings', () => {
  it('is all of an empty entry, and nothing of a full one', () => {
    const { tool, details } = demoTool('a', 'Hollin H5');
    expect(listMissing(tool, details, [])).toEqual([
      'class of tool',
      'drive size',
      'length',
      'bare mass',
      'mass with its pack',
      'declared vibration',
      'declared noise',
      'fastening claim',
      'breakaway claim',
      'price of the bare tool',
      'price of the kit',
      'handling rating',
    ]);
    const full = demoTool('a', 'Hollin H5', {
      tool: { declaredNoiseDbA: 98, declaredVibrationMps2: 12 },
      details: {
        toolClass: 'impactWrench',
        driveSize: 'square12.5',
        lengthM: 0.18,
        massBareKg: 1.9,
        massLoadedKg: 2.5,
        claims: [
          { id: 'a', kind: 'fastening', torqueNm: 1000, source: 'box', statedOn: null },
          { id: 'b', kind: 'breakaway', torqueNm: 1400, source: 'box', statedOn: null },
        ],
        prices: [kitPrice(), kitPrice({ id: 'b', kind: 'bare' })],
      },
    });
    expect(listMissing(full.tool, full.details, [rating('Ada', 7)])).toEqual([]);
  });
});
