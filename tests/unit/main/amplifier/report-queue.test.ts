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
  queue.data(1, { blocks: [block], faults: [fault], lastBadLine: null }, () => undefined);
  const [report] = posted;
  expect(report).toMatchObject({ type: 'data' });
  const counted = report?.type === 'data' ? report.handedOverBytes : 0;
  // Structured clone, which both hosts send by, has the format of `serialize`.
  expect(counted).toBeGreaterThanOrEqual(serialize(report).length);
});
