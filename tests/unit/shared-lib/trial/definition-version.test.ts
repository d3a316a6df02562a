import { describe, expect, it } from 'vitest';
import {
  DEFINITION_VERSION,
  MEASURES_SINCE_VERSION,
  measuresVersionOf,
} from '../../../../shared-lib/trial/definition-version.ts';

describe('the measures of a definition', () => {
  it('are those of the version that brought them, for every one since that judges the quality otherwise', () => {
    expect(MEASURES_SINCE_VERSION).toBe(2);
    expect(measuresVersionOf(2)).toBe(2);
    expect(measuresVersionOf(3)).toBe(2);
    expect(measuresVersionOf(DEFINITION_VERSION)).toBe(MEASURES_SINCE_VERSION);
  });

  it('are its own where it is earlier, or later than is known here', () => {
    expect(measuresVersionOf(1)).toBe(1);
    expect(measuresVersionOf(DEFINITION_VERSION + 1)).toBe(DEFINITION_VERSION + 1);
  });
});
