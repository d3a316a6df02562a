import { describe, expect, it } from 'vitest';
import { calibrationOptions } from '../../../../renderer/share/subject/subject-options.ts';
import { demoVersion } from '../../../helpers/scripted-calibration.ts';

const transducers = [
  { id: 'demo-transducer', name: 'Transducer 1' },
  { id: 'small', name: 'Small one' },
];
const version = (id: string, transducerId: string) => ({ ...demoVersion, id, transducerId });
const notesOf = (calibrations: ReturnType<typeof version>[]) =>
  calibrationOptions(calibrations, transducers).map(({ note }) => note);

describe('the calibrations that Share offers', () => {
  it('are told apart by their transducer, those of other benches too', () => {
    expect(
      notesOf([version('a', 'small'), version('b', 'demo-transducer'), version('c', 'foreign')]),
    ).toEqual([
      expect.stringMatching(/, Small one$/),
      expect.stringMatching(/, Transducer 1$/),
      expect.stringMatching(/, of another bench$/),
    ]);
  });

  it('of one transducer say when they were made and whether they are superseded', () => {
    const [newer, older] = notesOf([
      version('a', 'small'),
      { ...version('b', 'small'), supersededAt: '2026-02-01T08:00:00.000Z' },
    ]);
    expect(newer).not.toContain('Small one');
    expect(older).toBe(`${newer}, superseded`);
  });
});
