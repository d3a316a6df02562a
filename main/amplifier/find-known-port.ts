import type { UsbIdentity } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { SerialPortInfo } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';

/** Null where the port does not say which device it is: many converters have no serial number. */
export function usbIdentityOf(port: SerialPortInfo): UsbIdentity | null {
  if (port.serialNumber === null || port.serialNumber.trim() === '') return null;
  return { serialNumber: port.serialNumber, vendorId: port.vendorId, productId: port.productId };
}

/**
 * The path to open for a device that was last on `lastPath`: the port that carries the same serial number, vendor and
 * product, whatever its name; else the last path. Where several carry them (some makers give all their devices the same
 * number), nothing but the path tells them apart.
 *
 * Errors: AppError 'port-not-found', with the detail `otherDevice`, where another device is on the last path now: it is
 * never taken for the one that is looked for.
 */
export function findKnownPort(
  ports: readonly SerialPortInfo[],
  usb: UsbIdentity | null,
  lastPath: string,
): string {
  if (!usb) return lastPath;
  const same = ports.filter((port) => isSameDevice(usbIdentityOf(port), usb));
  const [first] = same;
  if (first) return same.length === 1 ? first.path : lastPath;

  const atLastPath = ports.find(({ path }) => path === lastPath);
  if (!atLastPath || !isOtherDevice(atLastPath, usb)) return lastPath;
  const found = atLastPath.serialNumber ?? 'without a serial number';
  throw new AppError(
    'port-not-found',
    `Another device (${found}) is on ${lastPath} now, not the amplifier ${usb.serialNumber}. It was not opened, and nothing was recorded from it. Plug the amplifier in, or choose the port anew in Setup.`,
    { path: lastPath, otherDevice: found },
  );
}

function isSameDevice(found: UsbIdentity | null, known: UsbIdentity): boolean {
  return (
    found?.serialNumber === known.serialNumber &&
    isSameId(found.vendorId, known.vendorId) &&
    isSameId(found.productId, known.productId)
  );
}

/** A port that says nothing of its device may still carry the known one. */
function isOtherDevice(port: SerialPortInfo, known: UsbIdentity): boolean {
  if (usbIdentityOf(port)) return true;
  return (
    (port.vendorId !== null && !isSameId(port.vendorId, known.vendorId)) ||
    (port.productId !== null && !isSameId(port.productId, known.productId))
  );
}

/** Hexadecimal, in letters of either case. */
function isSameId(first: string | null, second: string | null): boolean {
  return first?.toLowerCase() === second?.toLowerCase();
}
