import { beforeEach, describe, expect, it } from 'vitest';
import {
  createAmplifierSession,
  type AmplifierSession,
} from '../../../../main/amplifier/amplifier-session.ts';
import type { ReaderCommand, ReaderReport } from '../../../../main/amplifier/reader-protocol.ts';
import { createLogger } from '../../../../main/platform/logger.ts';
import { readyMadeProfiles } from '../../../../shared-lib/amplifier/amplifier-profile.ts';

const [profile] = readyMadeProfiles;
if (!profile) throw new Error('There is no ready-made profile');
const target = {
  source: { kind: 'serial', path: 'given', usb: null },
  profile,
  amplifier: null,
} as const;

let session: AmplifierSession;
let timeUs: number;
let openIds: number[];
let post: (report: ReaderReport) => void;

const opened = (openId: number): void => {
  post({ type: 'opened', openId, path: 'given', usb: null });
};

const letPass = (durationS: number): void => {
  for (let passedS = 0; passedS < durationS - 1e-9; passedS += 0.05) {
    timeUs += 50_000;
    session.tick();
  }
};

/** The session alone, with the reader's reports and the time given by the test. */
describe('a session', () => {
  beforeEach(async () => {
    timeUs = 1_000_000;
    openIds = [];
    session = createAmplifierSession(
      {
        log: createLogger(() => undefined),
        clock: { monotonicUs: () => timeUs, now: () => new Date(Date.UTC(2026, 0, 1) + timeUs / 1000) },
        startReader: () => ({
          send(command: ReaderCommand) {
            if (command.type === 'open') openIds.push(command.openId);
          },
          onReport(listener) {
            post = listener;
            return () => undefined;
          },
          onExit: () => () => undefined,
          kill: () => undefined,
        }),
      },
      {
        onBlock: () => undefined,
        onFault: () => undefined,
        onChange: () => undefined,
        onLost: () => undefined,
        onIdentified: () => undefined,
        onHeard: () => undefined,
        onListeningEnded: () => undefined,
      },
    );
    const connected = session.connect(target);
    opened(1);
    await connected;
  });

  it('takes an amplifier that came back on a port that needs seconds to open', () => {
    post({ type: 'closed', openId: 1, message: 'Unplugged.' });
    letPass(0.6);
    expect(openIds).toEqual([1, 2]);
    letPass(3);
    opened(2);
    expect(session.status().link).toBe('connected');
  });

  it('tries again half a second after a port could not be opened, for as long as it takes', () => {
    post({ type: 'closed', openId: 1, message: 'Unplugged.' });
    for (let openId = 2; openId < 6; openId += 1) {
      letPass(0.6);
      expect(openIds.at(-1)).toBe(openId);
      post({ type: 'openFailed', openId, code: 'port-not-found', message: 'There is no port.', details: {} });
    }
    expect(session.status().link).toBe('reconnecting');
  });

  it('holds each flag that the amplifier has set against whoever begins later, until it clears it or is another', async () => {
    const tell = (standingFlags: readonly string[], firstSlot: number, openId = 1): void => {
      const block = { segment: 1, firstSlot, counts: Int32Array.of(5, 6), gaps: [], arrivalUs: timeUs };
      post({
        type: 'data',
        openId,
        blocks: [block],
        faults: [],
        standingFlags,
        lastBadLine: null,
        handedOverBytes: 200,
      });
    };
    const standing = () => session.standingFaults().map(({ kind, sentence }) => `${kind}: ${sentence}`);
    tell(['excitation fails', 'supply low'], 0);
    expect(standing()).toEqual([
      expect.stringContaining('deviceFlag: The amplifier reports: excitation fails.'),
      expect.stringContaining('deviceFlag: The amplifier reports: supply low.'),
    ]);
    tell(['supply low'], 2);
    expect(standing()).toEqual([expect.stringContaining('supply low') as string]);
    const connected = session.connect(target);
    opened(2);
    await connected;
    expect(standing()).toEqual([]);
  });

  it('does not count the empty places of lost samples among the samples', () => {
    const counts = Int32Array.of(5, 0, 0, 6);
    post({
      type: 'data',
      openId: 1,
      blocks: [{ segment: 1, firstSlot: 0, counts, gaps: [{ offset: 1, length: 2 }], arrivalUs: timeUs }],
      faults: [{ kind: 'sequenceGap', segment: 1, slot: 1, count: 2 }],
      standingFlags: [],
      lastBadLine: null,
      handedOverBytes: 200,
    });
    expect(session.status().counters).toMatchObject({ samples: 2, lostSamples: 2 });
  });

  it('is none the worse for a capture that ended by itself, and says so until the next one', async () => {
    const changed = (error: string | null, isEnded: boolean) => {
      post({ type: 'captureChanged', bytes: 10, error, isEnded });
    };
    const starting = session.startCapture('/nowhere/capture.bin');
    changed(null, false);
    await starting;
    changed('The capture has reached its greatest length and was ended.', true);
    expect(session.status()).toMatchObject({
      capture: null,
      captureProblem: { sentence: 'The capture has reached its greatest length and was ended.' },
      problem: null,
    });
    const again = session.startCapture('/nowhere/another.bin');
    changed(null, false);
    await again;
    expect(session.status().captureProblem).toBeNull();
  });
});
