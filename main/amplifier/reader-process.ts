import process from 'node:process';
import { systemClock } from '../platform/clock.ts';
import { systemPorts } from './amplifier-port.ts';
import { channelToParent } from './channel-to-parent.ts';
import { runReader } from './run-reader.ts';

/** Entry of the reader process. The owner decides when reading ends, also when Ctrl+C reaches the whole group of processes. */
process.on('SIGINT', () => undefined);
runReader(channelToParent(), systemClock, systemPorts);
