import { describe, expect, it } from 'vitest';
import {
  filterTools,
  isFiltered,
  toolFilter,
  withPart,
  withSort,
} from '../../../../renderer/tools/list/tool-filter.ts';
import {
  claimWords,
  driveNames,
  handlingScores,
  handlingWords,
  missingWords,
  priceWords,
  scaleWords,
  whyUnlisted,
  withdrawalWords,
} from '../../../../renderer/tools/tool-sentences.ts';
import { mergeConsequences, stayingId } from '../../../../renderer/tools/merge/merge-sentences.ts';
import { demoRating, demoTool } from '../../../helpers/scripted-catalogue.ts';

const plainSpaces = (text: string): string => text.replaceAll(/\s/g, ' ');
const price = { id: 'p', kind: 'bare', amount: 200, currency: 'EUR', on: '2026-01-01', source: '' } as const;

const hollin = demoTool('h', 'Hollin H5 (demo)', {
  details: {
    maker: 'Hollin',
    toolClass: 'impactWrench',
    driveSize: 'square12.5',
    claims: [{ id: 'c', kind: 'fastening', torqueNm: 900, source: 'box', statedOn: null }],
    prices: [
      { ...price, id: 'p2', amount: 180, on: '2026-03-01' },
      price,
      { ...price, id: 'p3', kind: 'kit', amount: 349.5, currency: 'USD' },
    ],
  },
  ratings: [demoRating('h', 'A', 7), demoRating('h', 'B', 8)],
  trialCount: 12,
});
const tarnwick = demoTool('t', 'Tarnwick T6 (demo)', {
  tool: { supply: 'air' },
  details: { note: 'Rückschlag hoch', prices: [{ ...price, amount: 150 }] },
  missing: ['length', 'bare mass'],
});
const archived = demoTool('b', 'Brindlow B4 (demo)', { tool: { isArchived: true } });
const merged = demoTool('x', 'Hollin H-5 (demo)', { mergedIntoToolId: 'h' });
const all = [tarnwick, hollin, archived, merged];

const namesOf = (address: string): string[] =>
  filterTools(all, toolFilter(new URLSearchParams(address)), 'EUR').map(({ tool }) => tool.id);

describe('the list of tools', () => {
  it('leaves archived and merged ones out until they are asked for', () => {
    expect(namesOf('')).toEqual(['h', 't']);
    expect(namesOf('all=1')).toEqual(['b', 'x', 'h', 't']);
  });

  it('finds words anywhere, in any order, without marks above letters', () => {
    expect(namesOf('search=h5 hollin')).toEqual(['h']);
    expect(namesOf('search=ruckschlag')).toEqual(['t']);
    expect(namesOf('search=box')).toEqual(['h']);
    expect(namesOf('search=nothing')).toEqual([]);
  });

  it('filters by class, drive, supply and what is missing', () => {
    expect(namesOf('class=impactWrench')).toEqual(['h']);
    expect(namesOf('drive=square12.5')).toEqual(['h']);
    expect(namesOf('supply=air')).toEqual(['t']);
    expect(namesOf('incomplete=1')).toEqual(['t']);
  });

  it('takes what an address does not know for not set', () => {
    expect(isFiltered(toolFilter(new URLSearchParams('class=hammer&supply=steam&sort=luck')))).toBe(false);
    expect(namesOf('class=hammer&sort=luck')).toEqual(['h', 't']);
  });

  it('sorts by the newest price of the bare tool, and keeps what has no value last both ways', () => {
    expect(namesOf('sort=price')).toEqual(['t', 'h']);
    expect(namesOf('sort=price&down=1')).toEqual(['h', 't']);
    expect(namesOf('sort=handling')).toEqual(['h', 't']);
    expect(namesOf('sort=handling&down=1')).toEqual(['h', 't']);
  });

  it('turns round at a second press, and begins with the most where the most is looked for', () => {
    const start = toolFilter(new URLSearchParams());
    const byTrials = withSort(new URLSearchParams(), start, 'trials');
    expect(byTrials.toString()).toBe('sort=trials&down=1');
    expect(withSort(byTrials, toolFilter(byTrials), 'trials').toString()).toBe('sort=trials');
    expect(withSort(byTrials, toolFilter(byTrials), 'name').toString()).toBe('');
    expect(withPart(byTrials, 'search', '').toString()).toBe('sort=trials&down=1');
  });
});

describe('the words of the list', () => {
  it('says claims by kind, prices by their newest day, each in its own currency', () => {
    expect(claimWords(hollin.details.claims, (torqueNm) => `${torqueNm} N·m`)).toEqual(['900 N·m fastening']);
    expect(priceWords(hollin.details.prices).map(plainSpaces)).toEqual(['180 EUR bare', '349.50 USD kit']);
  });

  it('says of how many raters a judgement is', () => {
    expect(handlingWords([])).toBeNull();
    expect(handlingWords(hollin.ratings.slice(0, 1))).toBe('7 (1 rater)');
    expect(handlingWords(hollin.ratings)).toBe('7.5 (2 raters)');
  });

  it('says what withdrawing a rating brings back', () => {
    expect(withdrawalWords(demoRating('h', 'Ada', 7.5))).toBe(
      'Ada: 7.5. It counts no longer and stays stored with its reason. Where Ada had rated the tool before, that rating counts again.',
    );
  });

  it('offers 1 to 10 in halves', () => {
    expect(handlingScores).toHaveLength(19);
    expect(handlingScores.slice(0, 3)).toEqual([1, 1.5, 2]);
    expect(handlingScores.at(-1)).toBe(10);
  });

  it('says why an entry is not listed', () => {
    const nameOf = () => 'Hollin H5 (demo)';
    expect(whyUnlisted(hollin, nameOf)).toBeNull();
    expect(whyUnlisted(archived, nameOf)).toBe('archived');
    expect(whyUnlisted(merged, nameOf)).toBe('merged into Hollin H5 (demo)');
  });

  it('names two or three missing things and counts the rest', () => {
    expect(missingWords(['a', 'b', 'c'])).toBe('a, b, c');
    expect(missingWords(['a', 'b', 'c', 'd'])).toBe('a, b and 2 more');
  });

  it('leaves out of the scale what has no words, and has a name for each drive', () => {
    expect(scaleWords({ one: 'hurts', five: '', ten: 'all day' }).map(({ score }) => score)).toEqual([1, 10]);
    expect(plainSpaces(driveNames['square12.5'])).toBe('Square 12.5 mm (1/2 in)');
  });
});

describe('a merge', () => {
  it('says what will count where, and proposes the entry that has trials to stay', () => {
    expect(stayingId([merged, hollin])).toBe('h');
    const sentences = mergeConsequences(hollin, merged);
    expect(sentences[0]).toBe(
      'From now on 12 trials and 0 setups of Hollin H5 (demo) count to Hollin H-5 (demo), in comparisons and standings too.',
    );
    expect(sentences.join(' ')).toMatch(
      /Claims, prices and photos of Hollin H5 \(demo\) stay with its own entry/,
    );
    expect(mergeConsequences(merged, hollin).join(' ')).not.toMatch(/Claims/);
  });
});
