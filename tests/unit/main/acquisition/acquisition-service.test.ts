import { describe, expect, it } from 'vitest';
import { createAcquisitionService } from '../../../../main/acquisition/acquisition-service.ts';
import type { SampleBlock } from '../../../../shared-lib/signal/sample-block.ts';

const block = (firstSlot: number): SampleBlock => ({
  segment: 1,
  firstSlot,
  counts: new Int32Array(100).fill(5),
  gaps: [],
  arrivalUs: firstSlot * 10_000,
});

describe('the live curve', () => {
  it('goes by the rate that was measured when it began, as the trial does that is armed then', () => {
    let measuredRateHz: number | null = null;
    const rates: number[] = [];
    const acquisition = createAcquisitionService({
      measuredRateHz: () => measuredRateHz,
      onSamples: () => undefined,
      onLiveCurve: ({ sampleRateHz }) => rates.push(sampleRateHz),
    });
    acquisition.restart(80);
    acquisition.receive(block(0));
    measuredRateHz = 92;
    acquisition.receive(block(100));
    // One curve has one rate; arming sets the zero, which begins another.
    acquisition.setScale(null);
    acquisition.receive(block(200));
    expect(rates).toEqual([80, 80, 92, 92]);
  });
});

describe('the last second of samples', () => {
  it('is not there after the amplifier was lost, until it has come anew', () => {
    const acquisition = createAcquisitionService({
      measuredRateHz: () => null,
      onSamples: () => undefined,
      onLiveCurve: () => undefined,
    });
    acquisition.restart(80);
    acquisition.receive(block(0));
    expect(acquisition.idleRecord().meanCounts).toBe(5);
    acquisition.amplifierLost();
    expect(() => acquisition.idleRecord()).toThrow('There is not a whole second of samples yet');
    acquisition.receive({ ...block(0), segment: 2 });
    expect(acquisition.idleRecord().meanCounts).toBe(5);
  });
});
