import { describe, expect, it } from 'vitest';
import { decidingTermId } from '../../../../renderer/standings/cell/deciding-term.ts';
import {
  cellSentence,
  inReadingOrder,
  leadWords,
  trialCountWords,
} from '../../../../renderer/standings/cell/cell-sentences.ts';
import {
  cellChangeWords,
  inOrderOfInterest,
  moveOf,
  moveWords,
  totalWords,
} from '../../../../renderer/standings/editions/change-sentences.ts';
import { previewRows, previewSentence } from '../../../../renderer/standings/schemes/preview-rows.ts';
import { quantityOf } from '../../../../renderer/standings/words/measure-quantity.ts';
import { torqueDisplay } from '../../../../renderer/ui/torque-display.ts';
import {
  demoCell,
  demoChange,
  demoNotRanked,
  demoRow,
  demoStandings,
  torqueTerm,
} from '../../../helpers/scripted-standings.ts';

const plain = (text: string): string => text.replaceAll('\u202f', ' ');
const quantity = quantityOf(torqueTerm.measure, { torque: torqueDisplay('Nm', null), currency: 'EUR' });

describe('who moved', () => {
  it.each([
    [4, 2, 'up', 'up 2, from 4 to 2'],
    [1, 2, 'down', 'down 1, from 1 to 2'],
    [3, 3, 'stays', 'stays at 3'],
    [null, 2, 'enters', 'comes in at 2'],
    [2, null, 'leaves', 'is not ranked any more, was 2'],
    [null, null, 'stays out', 'is not ranked'],
  ] as const)('from %s to %s is told as %s', (fromPlace, toPlace, move, words) => {
    expect(moveOf({ fromPlace, toPlace })).toBe(move);
    expect(moveWords({ fromPlace, toPlace })).toBe(words);
  });

  it('stands before those whose points alone are other, in the order of the places', () => {
    const changes = [
      demoChange('Brindlow B4', { fromPlace: 3, toPlace: 3 }),
      demoChange('Hollin H5', { fromPlace: 1, toPlace: 2 }),
      demoChange('Corvane C8', { fromPlace: 4, toPlace: null }),
      demoChange('Tarnwick T6', { fromPlace: 2, toPlace: 1 }),
    ];
    expect(inOrderOfInterest(changes).map(({ label }) => label)).toEqual([
      'Tarnwick T6',
      'Hollin H5, pack 2',
      'Corvane C8',
      'Brindlow B4',
    ]);
  });
});

describe('why points are other', () => {
  it('is told with both figures, by as many decimals as tell them apart', () => {
    const cell = {
      termId: 'torque',
      label: 'Torque',
      fromPoints: 40,
      toPoints: 40.004,
    };
    expect(cellChangeWords(cell)).toBe('Torque: 40.000 points before, 40.004 points after.');
    expect(cellChangeWords({ ...cell, fromPoints: null, toPoints: 38 })).toBe(
      'Torque: no points before, 38.0 points after.',
    );
    expect(cellChangeWords({ ...cell, toPoints: 40 })).toBe('Torque: the same 40.0 points.');
    expect(totalWords(demoChange('Hollin H5', { fromTotal: 61.2, toTotal: 65 }))).toBe(
      'Total 61.2 before, 65.0 after.',
    );
    expect(totalWords(demoChange('Hollin H5', { fromTotal: null }))).toBe('');
  });
});

describe('the order under rules that are not stored', () => {
  const standings = demoStandings({
    rows: [demoRow('Tarnwick T6', 1), demoRow('Hollin H5', 2)],
    notRanked: [demoNotRanked('Brindlow B4', ['x']), demoNotRanked('Corvane C8', ['x'])],
  });
  const changes = [
    demoChange('Hollin H5', { fromPlace: 1, toPlace: 2 }),
    demoChange('Tarnwick T6', { fromPlace: 2, toPlace: 1 }),
    demoChange('Brindlow B4', { fromPlace: 3, toPlace: null }),
  ];

  it('says of each who moves, and leaves out who was not ranked before either', () => {
    expect(
      previewRows(standings, changes).map(({ place, label, arrow, move }) => [place, label, arrow, move]),
    ).toEqual([
      [1, 'Tarnwick T6', '▲', 'up 1, from 2 to 1'],
      [2, 'Hollin H5', '▼', 'down 1, from 1 to 2'],
      [null, 'Brindlow B4', '○', 'is not ranked any more, was 3'],
    ]);
    expect(previewRows(standings, [])[0]).toMatchObject({ move: 'stays at 1', isMoving: false });
  });

  it('is summed up in a sentence', () => {
    expect(previewSentence(changes)).toBe(
      'With these rules 1 tool moves up, 1 moves down, 1 is not ranked any more.',
    );
    expect(
      previewSentence([
        demoChange('Hollin H5', { fromPlace: null }),
        demoChange('Corvane C8', { fromPlace: null }),
      ]),
    ).toBe('With these rules 2 tools come in.');
    expect(previewSentence([demoChange('Hollin H5')])).toBe(
      'With these rules nobody changes place; points are other.',
    );
    expect(previewSentence([])).toBe('With these rules nothing moves: every figure is as it is now.');
  });
});

describe('what is behind a cell', () => {
  it('leads from value to points in a sentence', () => {
    expect(plain(cellSentence(demoCell('torque'), quantity, 0))).toBe('400 N·m brings 40.0 points.');
    expect(plain(cellSentence(demoCell('torque', { isCapped: true, points: 30 }), quantity, 0))).toBe(
      '400 N·m brings 30.0 points, the most that this term can bring.',
    );
    expect(plain(cellSentence(demoCell('torque', { points: null }), quantity, 0))).toBe(
      '400 N·m; it brings no points.',
    );
    const missing = { value: null, missing: 'It has no trial of this step.' };
    expect(cellSentence(demoCell('torque', { ...missing, points: 0 }), quantity, 0)).toBe(
      'It has no trial of this step. It counts with 0.0 points, since the rules ask for a value.',
    );
    expect(cellSentence(demoCell('torque', { ...missing, points: null }), quantity, 0)).toBe(
      'It has no trial of this step. The term is left out of the total.',
    );
  });

  it('lists trials that count first, and counts those that were left out', () => {
    const trial = (trialId: string, startedAt: string, leftOutBecause: string | null) => ({
      trialId,
      startedAt,
      value: 400,
      calibrationLabel: 'Demo calibration',
      leftOutBecause,
    });
    const trials = [
      trial('c', '2026-03-10T08:00:00Z', 'voided'),
      trial('b', '2026-03-10T10:00:00Z', null),
      trial('a', '2026-03-10T09:00:00Z', null),
    ];
    expect(inReadingOrder(trials).map(({ trialId }) => trialId)).toEqual(['a', 'b', 'c']);
    expect(trialCountWords(trials)).toBe(
      '2 trials are behind it; 1 more was left out, each for the reason beside it.',
    );
    expect(trialCountWords(trials.slice(1, 2))).toBe('1 trial is behind it.');
  });

  it('says how far the places around are', () => {
    const rows = [
      demoRow('Hollin H5', 1, { total: 80.25 }),
      demoRow('Tarnwick T6', 2, { total: 75.25 }),
      demoRow('Brindlow B4', 2, { total: 75.25 }),
    ];
    expect(leadWords(rows[1]!, rows, 1)).toBe('5.0 points behind Hollin H5, pack 2, level with Brindlow B4.');
    expect(leadWords(rows[0]!, rows.slice(0, 1), 1)).toBe('It is the only one that is ranked.');
  });
});

describe('the term that is opened for a place', () => {
  const first = demoRow('Hollin H5', 1, {
    cells: [demoCell('torque', { points: 60 }), demoCell('price', { count: 0, points: 80 })],
  });

  it('is the one in which the tool is farthest from the first, with trials behind it where there are any', () => {
    const other = demoRow('Tarnwick T6', 2, {
      cells: [
        demoCell('torque', { points: 50 }),
        demoCell('pace', { points: 20 }),
        demoCell('price', { count: 0, points: 10 }),
      ],
    });
    const faster = { ...first, cells: [...first.cells, demoCell('pace', { points: 90 })] };
    expect(decidingTermId(other, faster)).toBe('pace');
    const propertiesAlone = { ...other, cells: [demoCell('price', { count: 0, points: 10 })] };
    expect(decidingTermId(propertiesAlone, first)).toBe('price');
  });

  it('of the first is the one that brings it the most', () => {
    expect(
      decidingTermId({ ...first, cells: [...first.cells, demoCell('pace', { points: 70 })] }, first),
    ).toBe('pace');
    expect(decidingTermId({ ...first, cells: [] }, first)).toBeNull();
  });
});
