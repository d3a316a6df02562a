import { describe, expect, it } from 'vitest';
import type { Report } from '../../../../scripts/measured-figures.ts';
import { historyRow, withRow } from '../../../../scripts/perf/history.ts';

const document = `# How quick

<!-- The newest run is added below this line by npm run perf -- --note. -->
`;

const report = (date: string): Report => ({
  date,
  machine: { processors: '2 x Demo', memory: '4 GiB', node: 'v24.0.0' },
  figures: {
    'P1.cpu': { value: 2.1, unit: 'x', baseline: 1, limit: 1.5, met: false, note: '' },
    'P3.step': { value: 4, unit: 'ms', baseline: 9, limit: 8, met: true, note: '' },
  },
});

const rowsOf = (text: string): string[] => text.split('\n').filter((line) => line.startsWith('| 20'));

describe('the history of the figures', () => {
  it('gets its heading with the first run, and every further run above the one before', () => {
    const first = withRow(
      document,
      historyRow(report('2026-01-02T03:04:05Z'), { form: 'full', note: 'one' }),
    );
    const second = withRow(first, historyRow(report('2026-02-03T04:05:06Z'), { form: 'short', note: 'two' }));
    expect(second.split('\n').filter((line) => line.startsWith('| date'))).toHaveLength(1);
    expect(rowsOf(second).map((row) => row.slice(2, 12))).toEqual(['2026-02-03', '2026-01-02']);
    const columns = second.split('\n').find((line) => line.startsWith('| date')) ?? '';
    expect(rowsOf(second).map((row) => row.split('|').length)).toEqual([
      columns.split('|').length,
      columns.split('|').length,
    ]);
  });

  it('says what was missed, leaves out what was not measured, and lets no note break the row', () => {
    const row = historyRow(report('2026-01-02T03:04:05Z'), { form: 'full', note: 'a | b\nc' });
    expect(row).toContain('| 2.1 (missed) |');
    expect(row).toContain('| 4 |');
    expect(row).toContain('| a / b c |');
    expect(row).toContain('2 x Demo, 4 GiB, Node v24.0.0');
    expect(row).not.toContain('undefined');
  });

  it('is not written into a document that has no place for it', () => {
    expect(() => withRow('# Another', '| row |')).toThrow('no mark');
  });
});
