import { describe, expect, it } from 'vitest';
import { setupUseWords } from '../../../../shared-lib/run-sheet/setup-use.ts';

describe('what goes by a setup', () => {
  it.each([
    [0, [], null],
    [1, [], '1 trial is of this setup'],
    [12, [], '12 trials are of this setup'],
    [12, ['Two tools'], '12 trials are of this setup, and the open run sheet “Two tools” asks for it'],
    [0, ['Two tools'], 'The open run sheet “Two tools” asks for this setup'],
    [0, ['Two tools', 'Three tools'], '2 open run sheets ask for this setup'],
  ])('is %s trials and the sheets %j, in words', (trialCount, openRunSheets, words) => {
    expect(setupUseWords({ trialCount, openRunSheets })).toBe(words);
  });
});
