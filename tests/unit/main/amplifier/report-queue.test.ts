import { serialize } from 'node:v8';
import { expect, it } from 'vitest';
import { createReportQueue } from '../../../../main/amplifier/report-queue.ts';
import type { ReaderReport } from '../../../../main/amplifier/reader-protocol.ts';

it('counts at least the bytes of a report between processes, also where every other sample was lost', () => {
  const posted: ReaderReport[] = [];
  const queue = createReportQueue((report) => posted.push(report), { waitingBytes: 1e9, heardBytes: 1e9 });
  const counts = new Int32Array(2000);
  const gaps = Array.from({ length: 1000 }, (_, index) => ({ offset: 2 * index, length: 1 }));
  const block = { segment: 1, firstSlot: 0, counts, gaps, arrivalUs: 1_000_000 };
  const fault = { kind: 'sequenceGap', segment: 1, slot: 0, count: 1000 } as const;
  const standingFlags = ['excitation fails', 'supply low'];
  queue.data(1, { blocks: [block], faults: [fault], standingFlags, lastBadLine: null }, () => undefined);
  const [report] = posted;
  expect(report).toMatchObject({ type: 'data' });
  const counted = report?.type === 'data' ? report.handedOverBytes : 0;
  // Structured clone, which both hosts send by, has the format of `serialize`.
  expect(counted).toBeGreaterThanOrEqual(serialize(report).length);
});

it('says of flags how they stand now, also after samples that it had to drop', () => {
  const posted: ReaderReport[] = [];
  const queue = createReportQueue((report) => posted.push(report), { waitingBytes: 1000, heardBytes: 1e9 });
  const hand = (standingFlags: readonly string[]): void => {
    const block = { segment: 1, firstSlot: 0, counts: new Int32Array(300), gaps: [], arrivalUs: 1_000_000 };
    queue.data(1, { blocks: [block], faults: [], standingFlags, lastBadLine: null }, () => undefined);
  };
  hand([]);
  hand(['excitation fails']);
  hand(['supply low']);
  queue.finish(1);
  expect(posted).toMatchObject([
    { standingFlags: [] },
    { faults: [{ kind: 'queueOverflow', count: 600 }], standingFlags: ['supply low'] },
  ]);
});
