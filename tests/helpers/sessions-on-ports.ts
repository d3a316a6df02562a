import { afterEach } from 'vitest';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import {
  startPtyAmplifier,
  type PtyAmplifierSetup,
  type RunningPtyAmplifier,
} from './running-pty-amplifier.ts';
import { makeDataFolder } from './running-services.ts';
import { startSession, type RunningSession } from './running-session.ts';

export const SESSION_RATE_HZ = 500;

const [countsProfile, , fullProfile] = readyMadeProfiles as [
  AmplifierProfile,
  AmplifierProfile,
  AmplifierProfile,
];
/** With sequence, device time and checksum; without any of them. */
export const fullSessionProfile: AmplifierProfile = {
  ...fullProfile,
  baudRate: 921_600,
  nominalRateHz: SESSION_RATE_HZ,
};
export const countsSessionProfile: AmplifierProfile = { ...countsProfile, nominalRateHz: SESSION_RATE_HZ };

export interface SessionsOnPorts {
  /** Its reader runs before any pseudo-terminal is opened, which it would else inherit and hold open. */
  start(entryFile?: string): Promise<RunningSession>;
  plugIn(setup?: Partial<PtyAmplifierSetup>): RunningPtyAmplifier;
  folder(): string;
  /** In the reverse order of what was begun. */
  afterwards(cleanUp: () => void | Promise<void>): void;
}

/** Sessions, amplifiers and folders for the tests of one file, all of them gone after each test. */
export function useSessionsOnPorts(): SessionsOnPorts {
  const cleanUps: (() => void | Promise<void>)[] = [];
  afterEach(async () => {
    for (const cleanUp of cleanUps.splice(0).reverse()) await cleanUp();
  });
  return {
    async start(entryFile) {
      const running = startSession(entryFile);
      cleanUps.push(() => running.close());
      await running.session.listPorts();
      return running;
    },
    plugIn(setup = {}) {
      const amplifier = startPtyAmplifier({
        profile: fullSessionProfile,
        rateHz: SESSION_RATE_HZ,
        ...setup,
      });
      cleanUps.push(() => {
        amplifier.close();
      });
      return amplifier;
    },
    folder() {
      const made = makeDataFolder();
      cleanUps.push(() => {
        made.remove();
      });
      return made.path;
    },
    afterwards(cleanUp) {
      cleanUps.push(cleanUp);
    },
  };
}

export const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));
