import { describe, expect, it } from 'vitest';
import { referenceTools } from '../../../../renderer/standings/schemes/reference-tools.ts';

const ranked = (...contenders: [key: string, label: string][]) => ({
  rows: [],
  notRanked: contenders.map(([key, label]) => ({
    contender: { key, label, toolName: label, toolId: null, setup: null, isSimulated: false },
    toolClass: null,
    because: ['No trial of this step.'],
    cells: [],
  })),
});
const ofTable = ranked(['name:tarnwick t6', 'Tarnwick T6'], ['setup:hollin', 'Hollin H5']);

describe('the tools that a share can be taken of', () => {
  it('are those of the table as the draft makes it, where a tool may count by its setup', () => {
    const ofDraft = ranked(['setup:tarnwick', 'Tarnwick T6, pack 1'], ['setup:hollin', 'Hollin H5']);
    const keysFor = (standings: Parameters<typeof referenceTools>[1]) =>
      referenceTools([], standings)
        .optionsFor(null)
        .map(({ key }) => key);
    expect(keysFor({ ofDraft, ofTable })).toEqual(['setup:tarnwick', 'setup:hollin']);
    expect(keysFor({ ofDraft: null, ofTable })).toEqual(['name:tarnwick t6', 'setup:hollin']);
    expect(keysFor({ ofDraft: null, ofTable: null })).toEqual([]);
  });

  it('hold the chosen one even where the table lacks it, and say so', () => {
    const ofDraft = ranked(['setup:tarnwick', 'Tarnwick T6, pack 1']);
    expect(referenceTools([], { ofDraft, ofTable }).optionsFor('name:tarnwick t6')).toEqual([
      { key: 'setup:tarnwick', label: 'Tarnwick T6, pack 1' },
      { key: 'name:tarnwick t6', label: 'Tarnwick T6 (not in this table)' },
    ]);
    const stored = [{ key: 'setup:old', currentKey: 'setup:old', label: 'Corvane C8' }];
    const { optionsFor } = referenceTools(stored, { ofDraft: null, ofTable: null });
    expect(optionsFor('setup:old')).toEqual([{ key: 'setup:old', label: 'Corvane C8' }]);
  });

  it('show a merged one as the tool that it counts to, once', () => {
    const stored = [{ key: 'setup:old', currentKey: 'setup:hollin', label: 'Hollin H5' }];
    const { currentKeyOf, labelOf, optionsFor } = referenceTools(stored, { ofDraft: null, ofTable });
    expect(currentKeyOf('setup:old')).toBe('setup:hollin');
    expect(optionsFor('setup:old')).toEqual(optionsFor(null));
    expect(labelOf('setup:old')).toBe('Hollin H5');
  });

  it('are named while the table is on its way, and one that nobody knows is no tool of today', () => {
    expect(referenceTools([], { ofDraft: null, ofTable: null }).labelOf('name:x')).toBe('the reference tool');
    expect(referenceTools([], { ofDraft: null, ofTable }).labelOf('name:x')).toBe(
      'a tool that is no longer here',
    );
  });
});
