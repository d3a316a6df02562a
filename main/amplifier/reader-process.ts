import { constants } from 'node:os';
import process from 'node:process';
import { systemClock } from '../platform/clock.ts';
import { takePriority } from '../platform/process-priority.ts';
import { systemPorts } from './amplifier-port.ts';
import { channelToParent } from './channel-to-parent.ts';
import { runReader } from './run-reader.ts';

/**
 * Entry of the reader process. The owner decides when reading ends, also where Ctrl+C, a terminal that closes or the end of the user's
 * session reaches the whole group of processes; without an owner its channel ends, and it with that.
 */
for (const signal of ['SIGINT', 'SIGHUP', 'SIGTERM'] as const) process.on(signal, () => undefined);
// A port that is full drops what comes, while everything else can wait. An account that may not do this reads as it is.
takePriority(constants.priority.PRIORITY_HIGH);
runReader(channelToParent(), systemClock, systemPorts);
