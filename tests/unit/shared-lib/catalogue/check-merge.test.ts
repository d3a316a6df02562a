import { describe, expect, it } from 'vitest';
import { whyNotMerged } from '../../../../shared-lib/catalogue/check-merge.ts';
import { demoTool } from './demo-tools.ts';

const nameOf = (id: string): string => `Name of ${id}`;

describe('merging', () => {
  const hollin = demoTool('a', 'Hollin H5');
  const twin = demoTool('b', 'Holin H5');

  it('is possible where nothing known of the two differs', () => {
    expect(whyNotMerged(twin, hollin, nameOf)).toBeNull();
    const classed = demoTool('a', 'Hollin H5', { details: { toolClass: 'impactWrench' } });
    expect(whyNotMerged(twin, classed, nameOf)).toBeNull();
  });

  it('is refused into itself, in a ring, and with what was merged already', () => {
    expect(whyNotMerged(hollin, hollin, nameOf)).toContain('into itself');
    const merged = demoTool('b', 'Holin H5', { mergedIntoToolId: 'a' });
    expect(whyNotMerged(hollin, merged, nameOf)).toContain('a ring');
    const elsewhere = demoTool('b', 'Holin H5', { mergedIntoToolId: 'c' });
    expect(whyNotMerged(hollin, elsewhere, nameOf)).toContain('merged into “Name of c”. Choose that one.');
    expect(whyNotMerged(elsewhere, hollin, nameOf)).toContain('Take that merge back first.');
  });

  it('is refused with another class, drive or supply, which is named with both tools', () => {
    const drill = demoTool('b', 'Holin H5', {
      tool: { supply: 'air' },
      details: { toolClass: 'drill', driveSize: 'square10' },
    });
    const wrench = demoTool('a', 'Hollin H5', {
      details: { toolClass: 'impactWrench', driveSize: 'square12.5' },
    });
    const why = whyNotMerged(drill, wrench, nameOf);
    expect(why).toContain('“Holin H5” has the class “drill” and “Hollin H5” the class “impact wrench”');
    expect(why).toContain('the drive “square 10” and “Hollin H5” the drive “square 12.5”');
    expect(why).toContain('the supply “air” and “Hollin H5” the supply “battery”');
    expect(why).toContain('Put right the one that is wrong');
  });
});
