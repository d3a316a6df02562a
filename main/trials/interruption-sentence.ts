import { assertNever } from '../../shared-lib/assert-never.ts';
import type { InterruptionReason } from '../../shared-lib/trial/trial-model.ts';

/** What happened and what is kept of it: this is stored, so it asks nobody for anything. `atS` counts from onset. */
export function interruptionSentence(reason: InterruptionReason, atS: number, sampleCount: number): string {
  return `${whatHappened(reason)} at ${Math.max(0, atS).toFixed(2)} s. ${sampleCount} samples kept.`;
}

function whatHappened(reason: InterruptionReason): string {
  switch (reason) {
    case 'operator':
      return 'Recording stopped by the operator';
    case 'overload':
      return 'Overload of transducer or rig';
    case 'disconnect':
      return 'Amplifier lost';
    case 'wrongDirection':
      return 'Torque in the wrong direction';
    case 'segmentBreak':
      return 'The amplifier started anew';
    case 'readerLost':
      return 'The process that reads the amplifier ended';
    case 'storageFailed':
      return 'Writing to the disk failed';
    case 'programEnded':
      return 'The program ended';
    default:
      return assertNever(reason, 'An interruption without a sentence');
  }
}

/** What to do next, for whoever stands at the bench. */
export function interruptionAdvice(reason: InterruptionReason): string {
  switch (reason) {
    case 'overload':
      return 'Release the trigger, have transducer and rig checked, then repeat.';
    case 'disconnect':
      return 'Plug the amplifier in again, then repeat the run.';
    case 'segmentBreak':
      return 'Check supply and cable of the amplifier, then repeat the run.';
    case 'wrongDirection':
      return "Check the tool's direction switch, then repeat the run.";
    case 'storageFailed':
      return 'Make space or check the disk, then repeat the run.';
    case 'readerLost':
      return 'The program reconnects by itself; repeat the run.';
    case 'operator':
    case 'programEnded':
      return 'Keep it or void it, then repeat the run.';
    default:
      return assertNever(reason, 'An interruption without advice');
  }
}
