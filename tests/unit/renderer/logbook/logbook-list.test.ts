import { describe, expect, it } from 'vitest';
import { THIN_SPACE } from '../../../../shared-lib/format-quantity.ts';
import { plainNumber, plainText, tabSeparated } from '../../../../renderer/logbook/copying/plain-text.ts';
import { sortableTime, trialsAsTable } from '../../../../renderer/logbook/copying/copy-trials.ts';
import { filterMarks } from '../../../../renderer/logbook/list/filter-words.ts';
import { recomputationSentence } from '../../../../renderer/logbook/list/recomputation-sentence.ts';
import { rememberedRow, rememberRow } from '../../../../renderer/logbook/list/remembered-row.ts';
import { keyTarget } from '../../../../renderer/logbook/list/row-keys.ts';
import {
  nextSort,
  readHiddenColumns,
  sortDirection,
  tableColumns,
  tableLayout,
  type ColumnKey,
} from '../../../../renderer/logbook/list/table-columns.ts';
import {
  logbookFilter,
  sessionTrialsAddress,
  withFilter,
  withSort,
} from '../../../../renderer/logbook/logbook-filter.ts';
import { torqueDisplay } from '../../../../renderer/ui/torque-display.ts';
import { demoSetup, demoSummary } from './trial-samples.ts';

const everything =
  'search=H5&state=voided&quality=look&kind=stall&direction=reverse&role=reference&tag=cold+pack' +
  '&session=session-1&sheet=sheet-1&setup=setup-1&from=2026-03-01&to=2026-03-31&sort=weakest';

describe('the filter of the Logbook in the address', () => {
  it('holds every part, and reads back as it was written', () => {
    const { query, suffix, isFiltered } = logbookFilter(new URLSearchParams(everything));
    expect(query).toEqual({
      search: 'H5',
      state: 'voided',
      verdict: 'look',
      kind: 'stall',
      direction: 'reverse',
      role: 'reference',
      tag: 'cold pack',
      sessionId: 'session-1',
      runSheetId: 'sheet-1',
      setupId: 'setup-1',
      fromDay: '2026-03-01',
      toDay: '2026-03-31',
      sort: 'weakest',
    });
    expect(suffix).toBe(`?${everything}`);
    expect(isFiltered).toBe(true);
  });

  it.each(['kind=hammer', 'from=2026-02-30', 'quality=', 'sort=loudest'])(
    'leaves out what is not part of the contract: %s',
    (text) => {
      expect(logbookFilter(new URLSearchParams(text))).toMatchObject({ isFiltered: false, suffix: '' });
    },
  );

  it('does not count an order as a filter, and does not write the usual one', () => {
    const sorted = withSort(new URLSearchParams(), 'tool');
    expect(logbookFilter(sorted)).toMatchObject({ isFiltered: false, suffix: '?sort=tool' });
    expect(withSort(sorted, 'newest').toString()).toBe('');
  });

  it('loses only the part that is taken out', () => {
    const params = new URLSearchParams('search=H5&kind=stall');
    expect(withFilter(params, 'search', '').toString()).toBe('kind=stall');
    expect(withFilter(params, 'kind', null).toString()).toBe('search=H5');
    expect(withFilter(params, 'verdict', 'good').toString()).toBe('search=H5&kind=stall&quality=good');
  });

  it('leads from a session to its trials', () => {
    const [, search = ''] = sessionTrialsAddress('session 1').split('?');
    expect(logbookFilter(new URLSearchParams(search)).filter.sessionId).toBe('session 1');
  });
});

describe('marks of the filter', () => {
  const { filter } = logbookFilter(new URLSearchParams(everything));

  it('say each part in words', () => {
    const names = { session: 'Mar 4', runSheet: 'Monday', setup: 'Hollin H5, pack 2' };
    const labels = filterMarks(filter, names).map(({ label }) => label);
    expect(labels).toEqual([
      '“H5”',
      'Voided',
      'Quality: needs a look',
      'Stall',
      'Reverse',
      'Reference tool',
      'Tag: cold pack',
      'Session of Mar 4',
      'Run sheet: Monday',
      'Setup: Hollin H5, pack 2',
      expect.stringMatching(/^From .*2026/),
      expect.stringMatching(/^Until .*2026/),
    ]);
  });

  it('show no id where a name is not known', () => {
    const labels = filterMarks(filter, { session: null, runSheet: null, setup: null }).map(
      ({ label }) => label,
    );
    expect(labels).toEqual(expect.arrayContaining(['One session', 'One run sheet', 'One setup']));
    expect(labels.join()).not.toContain('session-1');
  });
});

describe('columns', () => {
  it('remember what is hidden, and pass over what is not a column or always shows', () => {
    expect([...readHiddenColumns('tags tool nonsense place')]).toEqual(['place', 'tags']);
    expect(readHiddenColumns(null).size).toBe(0);
  });

  it('leave time and tool, and give the room of the hidden ones back', () => {
    const all = new Set<ColumnKey>(tableColumns.map(({ key }) => key));
    const hidden = readHiddenColumns([...all].join(' '));
    const { columns, minWidth } = tableLayout(hidden);
    expect(columns.map(({ key }) => key)).toEqual(['when', 'tool']);
    expect(parseFloat(minWidth)).toBeLessThan(parseFloat(tableLayout(new Set()).minWidth) / 2);
  });

  const columnOf = (key: ColumnKey) => tableColumns.find((column) => column.key === key)!;

  it('sort by a press on the head, and the other way by the next', () => {
    expect(nextSort(columnOf('sustained'), 'newest')).toBe('strongest');
    expect(nextSort(columnOf('sustained'), 'strongest')).toBe('weakest');
    expect(nextSort(columnOf('when'), 'newest')).toBe('oldest');
    expect(nextSort(columnOf('when'), 'oldest')).toBe('newest');
    expect(nextSort(columnOf('tool'), 'tool')).toBe('tool');
    expect(nextSort(columnOf('quality'), 'newest')).toBeNull();
  });

  it('tell the direction in force, and none elsewhere', () => {
    expect(sortDirection(columnOf('when'), 'newest')).toBe('descending');
    expect(sortDirection(columnOf('sustained'), 'weakest')).toBe('ascending');
    expect(sortDirection(columnOf('tool'), 'newest')).toBeNull();
  });
});

describe('keys in the table', () => {
  it.each([
    ['ArrowDown', 5, 6],
    ['ArrowDown', 99, 99],
    ['ArrowUp', 0, 0],
    ['PageDown', 95, 99],
    ['PageUp', 25, 15],
    ['Home', 50, 0],
    ['End', 50, 99],
    ['x', 50, null],
  ])('%s from row %i leads to %j', (key, active, target) => {
    expect(keyTarget(key, active, 100)).toBe(target);
  });
});

describe('the row that was left', () => {
  it('is found again by its own list only', () => {
    rememberRow('?kind=stall', { index: 412, offsetPx: 16_480 });
    expect(rememberedRow('?kind=stall')).toEqual({ index: 412, offsetPx: 16_480 });
    expect(rememberedRow('')).toBeNull();
  });
});

describe('copying', () => {
  it('takes ordinary spaces and minus signs, which other programs read', () => {
    expect(plainText(`\u2212412.3${THIN_SPACE}N·m`)).toBe('-412.3 N·m');
    expect(plainNumber(12_345.678, 1)).toBe('12345.7');
    expect(plainNumber(null, 1)).toBe('');
  });

  it('lets no name make a further cell or row', () => {
    expect(tabSeparated([['a\tb', 'c\r\nd'], ['e']])).toBe('a b\tc d\r\ne');
  });

  it('gives rows a header, and each quantity a cell of its own in the chosen unit', () => {
    const table = trialsAsTable(
      [{ ...demoSummary, setup: demoSetup, tags: ['cold pack', 'publish'] }],
      { ...torqueDisplay('ftLbf', null), decimals: 1 },
      (instant) => instant,
    );
    const [header, row] = table.split('\r\n').map((line) => line.split('\t'));
    const cell = (title: string) => row?.[header?.indexOf(title) ?? -1];
    expect(header).toHaveLength(row?.length ?? 0);
    expect(cell('Tool')).toBe('Hollin H5');
    expect(cell('Setup')).toBe('pack 2, mode 3, impact socket 24');
    // 412.34 N·m / 1.3558179483314004 (NIST SP 811, the exact product of foot, pound and standard gravity).
    expect(cell('Sustained torque (static calibration), ft·lbf')).toBe('304.1');
    expect(cell('Tags')).toBe('cold pack; publish');
    expect(cell('Simulated')).toBe('simulated');
  });

  it('leaves the torque of a trial empty that nobody has kept', () => {
    const undecided = {
      ...demoSummary,
      state: 'reviewing',
      qualityVerdict: null,
      sustainedTorqueNm: null,
    } as const;
    const table = trialsAsTable([undecided], torqueDisplay('Nm', null), (instant) => instant);
    const [header, row] = table.split('\r\n').map((line) => line.split('\t'));
    expect(row?.[header?.findIndex((title) => title.startsWith('Sustained')) ?? -1]).toBe('');
  });

  it('writes times in the form that sorts as a text', () => {
    expect(sortableTime(new Date(2026, 2, 4, 9, 5, 7))).toBe('2026-03-04 09:05:07');
  });
});

describe('trials that are measured anew', () => {
  it('are told while there are any, with those that could not be', () => {
    expect(recomputationSentence({ definitionVersion: 2, outdatedCount: 0, failedCount: 0 })).toBeNull();
    expect(recomputationSentence({ definitionVersion: 2, outdatedCount: 1, failedCount: 0 })).toBe(
      '1 trial is being measured anew by definitions 2 and shows its earlier figures until then; those stay in the trail.',
    );
    expect(recomputationSentence({ definitionVersion: 2, outdatedCount: 12_002, failedCount: 2 })).toMatch(
      /^12.000 trials are being measured anew .* 2 trials could not be measured anew and keep their earlier figures\.$/,
    );
  });

  it('are not said to be under way where all that is left could not be', () => {
    expect(recomputationSentence({ definitionVersion: 2, outdatedCount: 1, failedCount: 1 })).toBe(
      '1 trial could not be measured anew and keeps its earlier figures.',
    );
  });
});
