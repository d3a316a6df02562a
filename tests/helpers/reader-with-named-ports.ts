import { readFileSync } from 'node:fs';
import process from 'node:process';
import { systemPorts } from '../../main/amplifier/amplifier-port.ts';
import { channelToParent } from '../../main/amplifier/channel-to-parent.ts';
import { runReader } from '../../main/amplifier/run-reader.ts';
import { systemClock } from '../../main/platform/clock.ts';
import type { SerialPortInfo } from '../../shared-lib/api-contract.ts';

/** Where the list stands as JSON; it is read anew at each listing, so that a test can plug devices about. */
export const NAMED_PORTS_VARIABLE = 'PROOFARM_TEST_NAMED_PORTS';

/**
 * The reader process with another list of ports: the system's own has no pseudo-terminals, and those have no serial
 * numbers. Everything else is the reader as it is.
 */
const listFile = process.env[NAMED_PORTS_VARIABLE];
if (listFile !== undefined && process.send) {
  runReader(channelToParent(), systemClock, {
    ...systemPorts,
    list: () => Promise.resolve(JSON.parse(readFileSync(listFile, 'utf8')) as SerialPortInfo[]),
  });
}
