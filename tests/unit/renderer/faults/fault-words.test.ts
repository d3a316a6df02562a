import { describe, expect, it } from 'vitest';
import { faultKindSchema, type FaultEvent } from '../../../../shared-lib/trial/trial-model.ts';
import { faultFigure, faultSeverity, faultWords } from '../../../../renderer/faults/fault-words.ts';
import { FRESH_MS, freshFaults } from '../../../../renderer/faults/fresh-faults.ts';

const plain = (text: string) => text.replaceAll('\u202f', ' ');
const NOW_MS = Date.parse('2026-03-01T10:00:00.000Z');

function fault(kind: FaultEvent['kind'], agoMs: number, sentence: string = kind): FaultEvent {
  return { kind, at: new Date(NOW_MS - agoMs).toISOString(), atS: null, count: 1, sentence };
}

describe('words for faults', () => {
  it('tell every kind from every other', () => {
    const words = [...faultKindSchema.values].map((kind) => faultWords[kind]);
    expect(new Set(words).size).toBe(faultKindSchema.values.size);
  });

  it('have a severity and a figure for every kind', () => {
    for (const kind of faultKindSchema.values) {
      expect(['fault', 'caution', 'information']).toContain(faultSeverity(kind));
      expect(faultFigure({ kind, count: 2 })).not.toBe('');
    }
  });

  it.each([
    ['badLine', 1, '1 line'],
    ['sequenceGap', 12, '12 samples'],
    ['silenceEnded', 1250, '1.25 s'],
    ['computerSlept', 90, '90 s'],
    ['rateOffNominal', 4, '4 %'],
    ['stuck', 0, '–'],
  ] as const)('give the figure of %s its unit', (kind, count, shown) => {
    expect(plain(faultFigure({ kind, count }))).toBe(shown);
  });
});

describe('faults that are fresh', () => {
  it('stay as long as it takes to read them, then go', () => {
    expect(freshFaults([fault('rail', FRESH_MS - 1)], NOW_MS, null, false)).toHaveLength(1);
    expect(freshFaults([fault('rail', FRESH_MS)], NOW_MS, null, false)).toEqual([]);
  });

  it('show each kind once, its newest, and no more than three', () => {
    const fresh = freshFaults(
      [
        fault('badLine', 100, 'new'),
        fault('badLine', 900, 'old'),
        fault('rail', 1000),
        fault('stuck', 1100),
        fault('silence', 1200),
      ],
      NOW_MS,
      null,
      false,
    );
    expect(fresh.map(({ sentence }) => sentence)).toEqual(['new', 'rail', 'stuck']);
  });

  it('do not tell a silence that is over as one that lasts', () => {
    const over = [fault('silenceEnded', 100), fault('silence', 400)];
    expect(freshFaults(over, NOW_MS, null, false).map(({ kind }) => kind)).toEqual(['silenceEnded']);
    const again = [fault('silence', 50), ...over];
    expect(freshFaults(again, NOW_MS, null, false).map(({ kind }) => kind)).toEqual([
      'silence',
      'silenceEnded',
    ]);
  });

  it('leave a loss to the alarm where that stands right beside, and only there', () => {
    const lost = [fault('disconnect', 100), fault('rail', 200)];
    const kindsBeside = (problem: string | null, isBesideAlarm: boolean) =>
      freshFaults(lost, NOW_MS, problem, isBesideAlarm).map(({ kind }) => kind);
    expect(kindsBeside('The amplifier was lost.', true)).toEqual(['rail']);
    expect(kindsBeside('The amplifier was lost.', false)).toEqual(['disconnect', 'rail']);
    expect(kindsBeside(null, true)).toEqual(['disconnect', 'rail']);
  });

  it('do not repeat the sentence of a state that lasts and stands elsewhere', () => {
    expect(freshFaults([fault('silence', 0, 'No line comes.')], NOW_MS, 'No line comes.', false)).toEqual([]);
  });
});
