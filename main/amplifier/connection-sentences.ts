import type { PortSource } from './reader-protocol.ts';
import type { ReaderDeath } from './reader-supervisor.ts';

export function portNameOf(source: PortSource | null): string {
  switch (source?.kind) {
    case 'serial':
      return source.path;
    case 'replayed':
      return 'the replayed capture';
    default:
      return 'the simulated bench';
  }
}

export function lostSentence(portMessage: string): string {
  return `The amplifier was lost (${portMessage}) What came before is kept. Plug it in again: the program reconnects by itself.`;
}

export function unreadableSentence(profileName: string): string {
  return `Lines come in, but none can be read as "${profileName}". Nothing is recorded meanwhile. Choose another profile or baud rate in Setup, where the newest line is shown.`;
}

export const READER_ENDED =
  'The process that reads the amplifier ended. What was stored is safe; it is being started again.';

export function readerDeathSentence({ isTooOften, deathsLately }: ReaderDeath): string {
  return isTooOften
    ? `The process that reads the amplifier ended ${deathsLately} times in 10 s. What was stored is safe, but nothing is recorded; it is started again every 5 s. Unplug the amplifier and plug it in again; if that does not help, restart the program.`
    : READER_ENDED;
}
