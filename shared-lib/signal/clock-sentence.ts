import { assertNever } from '../assert-never.ts';
import type { AmplifierStatus } from '../bench-status.ts';

export function clockSentence(clockSource: AmplifierStatus['clockSource']): string {
  switch (clockSource) {
    case 'sequence':
      return 'the sequence number in the lines';
    case 'deviceTime':
      return 'the device time in the lines';
    case 'arrival':
      return 'when the lines arrive';
    case null:
      return 'not known yet';
    default:
      return assertNever(clockSource, 'This clock source has no words');
  }
}
