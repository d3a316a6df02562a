import { describe, expect, it } from 'vitest';
import { asCalledThen, renamedWords } from '../../../../shared-lib/recompute/called-then.ts';
import type { StandingsSubject } from '../../../../shared-lib/standings/standings-model.ts';

/** A setup of the one tool that there is, with a pack of its own. */
function subject(setupId: string, packName: string, toolName = 'Hollin H5'): StandingsSubject {
  const label = `${toolName}, ${packName}`;
  return {
    contender: {
      key: `setup:${setupId}`,
      label,
      toolName,
      toolId: 'hollin',
      setup: {
        setupId,
        toolId: 'hollin',
        toolName,
        supply: 'battery',
        declaredVibrationMps2: null,
        declaredNoiseDbA: null,
        packId: `pack-of-${setupId}`,
        packName,
        packCapacityAh: 5,
        setting: '',
        socket: null,
      },
      isSimulated: false,
    },
    toolClass: null,
    driveSize: null,
    supply: 'battery',
    properties: [],
    notRankedBecause: null,
  };
}

const namesOf = (): ReadonlySet<string> => new Set(['Hollin H5', 'Hollin H5 (Bench B)']);
const now = [subject('small', 'Pack 2 Ah'), subject('large', 'Pack 8 Ah')];

describe('what an edition calls a contender', () => {
  it('is taken over where its pack or its tool is called otherwise now, and told', () => {
    const said = [subject('small', 'Slim pack'), subject('large', 'Pack 8 Ah', 'Hollin H5 (Bench B)')];
    const { subjects, renamed } = asCalledThen(said, now, namesOf);
    expect(subjects).toEqual(said);
    expect(renamedWords(renamed)).toBe(
      'Names of packs and setups stand in a package as they are now. 2 contenders were called otherwise when the edition was frozen: “Hollin H5, Slim pack”, “Hollin H5, Pack 2 Ah” now; “Hollin H5 (Bench B), Pack 8 Ah”, “Hollin H5, Pack 8 Ah” now.',
    );
  });

  it('names five at most, and counts the others', () => {
    const renamed = Array.from({ length: 7 }, (_, index) => ({ then: `then ${index}`, now: `now ${index}` }));
    expect(renamedWords(renamed)).toMatch(/“then 4”, “now 4” now; and 2 more\.$/);
  });

  it.each<[string, StandingsSubject[]]>([
    ['is that of another setup of the tool', [subject('small', 'Pack 8 Ah'), subject('large', 'Pack 2 Ah')]],
    ['names a tool that was never called so', [subject('small', 'Pack 2 Ah', 'Corvane C8')]],
    [
      'is not what its parts make',
      [
        {
          ...subject('small', 'Slim pack'),
          contender: { ...subject('small', 'Slim pack').contender, label: 'Best' },
        },
      ],
    ],
    [
      'is of another tool',
      [
        {
          ...subject('small', 'Slim pack'),
          contender: { ...subject('small', 'Slim pack').contender, toolId: 'other' },
        },
      ],
    ],
  ])('is not taken over where it %s', (_, said) => {
    expect(asCalledThen(said, now, namesOf)).toEqual({ subjects: now, renamed: [] });
  });

  it('takes over words alone: what is known of the tool stays as the package has it', () => {
    const said = subject('small', 'Slim pack');
    if (said.contender.setup !== null) said.contender.setup.declaredVibrationMps2 = 1;
    const { subjects } = asCalledThen([{ ...said, supply: 'mains' }], now, namesOf);
    expect(subjects[0]).toMatchObject({
      supply: 'battery',
      contender: { setup: { packName: 'Slim pack', declaredVibrationMps2: null } },
    });
  });
});
