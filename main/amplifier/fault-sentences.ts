import { assertNever } from '../../shared-lib/assert-never.ts';
import { formatTorqueInBothUnits } from '../../shared-lib/format-quantity.ts';
import type { FaultKind } from '../../shared-lib/trial/trial-model.ts';

/**
 * One sentence for each fault: what happened, what it means for the data, what to do. `count` is the fault's own figure,
 * `detail` what the amplifier or the line says of it.
 */
export function faultSentence(
  kind: FaultKind,
  count: number,
  portName: string,
  detail: string | null = null,
): string {
  switch (kind) {
    case 'badLine':
      return `${lines(count)} could not be read and ${count === 1 ? 'was' : 'were'} left out. If they go on, check profile, baud rate and cable in Setup.`;
    case 'badChecksum':
      return `${lines(count)} failed the checksum and ${count === 1 ? 'was' : 'were'} left out. Check the cable and its screen.`;
    case 'sequenceGap':
      return `${count === 1 ? '1 sample' : `${count} samples`} lost on the way. The place is kept empty; times stay right.`;
    case 'rail':
      return `The converter stood at its end for ${count === 1 ? '1 sample' : `${count} samples`}. Torque there was higher than shown; use less gain or a larger transducer.`;
    case 'stuck':
      return 'The amplifier sends the same count again and again. The reading is not live, unless the transducer is at rest and always this still; check amplifier and transducer cable.';
    case 'silence':
      return `No line comes from ${portName}. Nothing is recorded meanwhile. Check cable, power and baud rate.`;
    case 'overload':
      return `Torque reached ${formatTorqueInBothUnits(count, 0)}, over the limit of transducer or rig. Have both checked before the next run.`;
    case 'disconnect':
      return `The amplifier on ${portName} was lost. What came before is kept. Plug it in again: the program reconnects by itself.`;
    case 'rateOffNominal':
      return `The sample rate is ${count} % off the rate in Setup. Times use the measured rate; put the right rate into Setup.`;
    case 'segmentBreak':
      return `The samples before and after cannot be joined${detail === null ? '' : `: ${detail}`}. The time in between is not known, and a run across it ends there.`;
    case 'readerLost':
      return 'The process that reads the amplifier ended and is started again. What was stored is safe; samples in between are missing.';
    case 'silenceEnded':
      return `Lines come again after ${(count / 1000).toFixed(2)} s of silence.`;
    case 'duplicateLine':
      return `${lines(count)} came twice with the same number; the second of each was left out. Check the cable and the settings of the amplifier.`;
    case 'beyondRails':
      return `${count === 1 ? '1 number lies' : `${count} numbers lie`} beyond what the converter can give${detail === null ? '' : ` (${detail})`}; the place of ${count === 1 ? 'that sample' : 'those samples'} is kept empty. Check the converter bits in Setup, then the cable.`;
    case 'deviceFlag':
      return `The amplifier reports: ${detail ?? 'a fault'}. Samples from then on are kept, but check the amplifier before you trust them.`;
    case 'computerSlept':
      return `The computer slept or stood still for ${count} s, and nothing was read meanwhile. A run across it is not joined; keep the computer awake during trials.`;
    case 'queueOverflow':
      return `The program could not keep up: ${count === 1 ? '1 sample was' : `${count} samples were`} read but could not be passed on. A run across it is not joined; close other programs.`;
    default:
      return assertNever(kind, 'A fault without a sentence');
  }
}

function lines(count: number): string {
  return count === 1 ? '1 line' : `${count} lines`;
}
