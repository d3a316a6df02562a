import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { onsetOnHostClockUs } from '../../../../shared-lib/overlay/onset-on-host-clock.ts';

const FRAME_S = 1 / 60;

/** A record whose amplifier's clock is off, as a host that reads late now and then hears it. */
interface HeardRecord {
  readonly nominalRateHz: number;
  readonly offPpm: number;
  readonly startUs: number;
  readonly onsetSlot: number;
  readonly lastsS: number;
  /** Of each read, in us. */
  readonly latenessUs: readonly number[];
}

const heardRecord = fc.record({
  nominalRateHz: fc.constantFrom(80, 320, 1000, 10_000),
  offPpm: fc.integer({ min: -200, max: 200 }),
  startUs: fc.integer({ min: 0, max: 1e12 }),
  onsetSlot: fc.double({ min: 0.5, max: 1.5, noNaN: true }),
  lastsS: fc.integer({ min: 3, max: 600 }),
  latenessUs: fc.array(fc.integer({ min: 0, max: 5000 }), { minLength: 7, maxLength: 30 }),
});

function marksOf({ nominalRateHz, offPpm, startUs, lastsS, latenessUs }: HeardRecord) {
  const trueRateHz = nominalRateHz * (1 + offPpm * 1e-6);
  const slotsPerRead = Math.max(1, Math.round(nominalRateHz / 50));
  const reads = Math.floor((lastsS * nominalRateHz) / slotsPerRead);
  return Array.from({ length: reads }, (_, index) => {
    const slot = (index + 1) * slotsPerRead - 1;
    const lateUs = latenessUs[index % latenessUs.length] ?? 0;
    return { slot, arrivalUs: Math.round(startUs + (slot * 1e6) / trueRateHz + lateUs) };
  });
}

describe('an onset on the clock of the host', () => {
  it('is within a frame of the camera over ten minutes, with a sample clock that is off by 200 ppm and reads that are late', () => {
    fc.assert(
      fc.property(heardRecord, fc.double({ min: 0, max: 600, noNaN: true }), (record, sinceMarkS) => {
        const onsetSlot = record.onsetSlot * record.nominalRateHz;
        const trueRateHz = record.nominalRateHz * (1 + record.offPpm * 1e-6);
        const trueOnsetUs = record.startUs + (onsetSlot * 1e6) / trueRateHz;
        const markUs = trueOnsetUs - sinceMarkS * 1e6;
        const { nominalRateHz } = record;
        const onsetUs = onsetOnHostClockUs({ marks: marksOf(record), onsetSlot, nominalRateHz });
        const afterS = ((onsetUs ?? Number.NaN) - markUs) / 1e6;
        expect(Math.abs(afterS - sinceMarkS)).toBeLessThan(FRAME_S);
      }),
      { numRuns: 200 },
    );
  });

  it('would be seven frames off by the nominal rate, where a record of ten minutes is counted from its end', () => {
    const record: HeardRecord = {
      nominalRateHz: 1000,
      offPpm: 200,
      startUs: 0,
      onsetSlot: 1,
      lastsS: 600,
      latenessUs: [0],
    };
    const marks = marksOf(record);
    const onset = { onsetSlot: 1000, nominalRateHz: 1000 };
    const trueOnsetUs = 1000 * (1e6 / (1000 * (1 + 200e-6)));
    const byNominalRateUs = onsetOnHostClockUs({ ...onset, marks: marks.slice(-1) });
    expect(Math.abs((byNominalRateUs ?? 0) - trueOnsetUs) / 1e6).toBeGreaterThan(7 * FRAME_S);
    expect(Math.abs((onsetOnHostClockUs({ ...onset, marks }) ?? 0) - trueOnsetUs)).toBeLessThan(1);
  });

  it('is not known without a single arrival', () => {
    expect(onsetOnHostClockUs({ marks: [], onsetSlot: 10, nominalRateHz: 80 })).toBeNull();
  });
});
