import type { AmplifierProfile, UsbIdentity } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { SerialPortInfo } from '../../shared-lib/api-contract.ts';
import type { Clock } from '../platform/clock.ts';
import type { AmplifierPort, PortAccess } from './amplifier-port.ts';
import { findKnownPort, usbIdentityOf } from './find-known-port.ts';
import type { PortSource } from './reader-protocol.ts';
import { openReplayedPort } from './replayed-amplifier-port.ts';
import { SimulatedAmplifierPort } from './simulated-amplifier-port.ts';

export interface OpenedSource {
  readonly port: AmplifierPort;
  /** Null where it is none of the computer's ports. */
  readonly path: string | null;
  readonly usb: UsbIdentity | null;
  readonly simulated: SimulatedAmplifierPort | null;
}

/** Opens what a connection reads from. Errors: those of `findKnownPort`, of the port, and of the capture. */
export async function openSource(
  source: PortSource,
  profile: AmplifierProfile,
  tools: { ports: PortAccess; clock: Clock },
): Promise<OpenedSource> {
  switch (source.kind) {
    case 'serial': {
      const listed = await listPortsOrNone(tools.ports);
      const path = findKnownPort(listed, source.usb, source.path);
      const found = listed.find((port) => port.path === path);
      const port = await tools.ports.open(path, profile);
      return { port, path, usb: found ? usbIdentityOf(found) : null, simulated: null };
    }
    case 'replayed': {
      const port = await openReplayedPort(source.filePath, tools.clock);
      return { port, path: null, usb: null, simulated: null };
    }
    case 'simulated': {
      const simulated = new SimulatedAmplifierPort(source.options, profile);
      const port: AmplifierPort = {
        bytes: simulated,
        endSentence: 'The simulated amplifier ended.',
        // It streams from the start and takes no orders.
        send: () => Promise.resolve(),
        close: () => simulated.closePort(),
      };
      return { port, path: null, usb: null, simulated };
    }
  }
}

/** Where a system cannot list its ports the path still opens; only a device on another path is not found. */
async function listPortsOrNone(ports: PortAccess): Promise<SerialPortInfo[]> {
  try {
    return await ports.list();
  } catch {
    return [];
  }
}
