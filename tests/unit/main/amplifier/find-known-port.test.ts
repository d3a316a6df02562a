import { describe, expect, it } from 'vitest';
import { findKnownPort, usbIdentityOf } from '../../../../main/amplifier/find-known-port.ts';
import type { SerialPortInfo } from '../../../../shared-lib/api-contract.ts';
import { AppError } from '../../../../shared-lib/app-error.ts';

const port = (
  path: string,
  serialNumber: string | null,
  ids: Partial<SerialPortInfo> = {},
): SerialPortInfo => ({
  path,
  manufacturer: null,
  serialNumber,
  vendorId: '1a2b',
  productId: '0001',
  ...ids,
});
const known = { serialNumber: 'A-17', vendorId: '1a2b', productId: '0001' };

describe('finding the port of a known device', () => {
  it('takes the port with the same serial number, vendor and product, whatever its name', () => {
    const ports = [port('/dev/ttyUSB0', 'B-04'), port('/dev/ttyUSB3', 'A-17')];
    expect(findKnownPort(ports, known, '/dev/ttyUSB0')).toBe('/dev/ttyUSB3');
  });

  it('tells devices of other vendors and products apart that have the same serial number', () => {
    const ports = [
      port('/dev/ttyUSB1', 'A-17', { vendorId: '9999' }),
      port('/dev/ttyUSB2', 'A-17', { productId: '0002' }),
    ];
    expect(findKnownPort(ports, known, '/dev/ttyUSB0')).toBe('/dev/ttyUSB0');
  });

  it('reads the ids of vendor and product in letters of either case', () => {
    expect(findKnownPort([port('COM7', 'A-17', { vendorId: '1A2B' })], known, 'COM3')).toBe('COM7');
  });

  it('stays with the last path where nothing is known of the device', () => {
    const ports = [port('/dev/ttyUSB0', null), port('/dev/ttyUSB1', null)];
    expect(findKnownPort(ports, null, '/dev/ttyUSB1')).toBe('/dev/ttyUSB1');
    expect(findKnownPort([port('/dev/ttyUSB0', 'B-04')], null, '/dev/ttyUSB0')).toBe('/dev/ttyUSB0');
  });

  it('stays with the last path where two devices carry the same number', () => {
    const ports = [port('/dev/ttyUSB0', 'A-17'), port('/dev/ttyUSB1', 'A-17')];
    expect(findKnownPort(ports, known, '/dev/ttyUSB1')).toBe('/dev/ttyUSB1');
  });

  it('stays with the last path where its port says nothing, or is not listed at all', () => {
    const silent = port('/dev/ttyS0', null, { vendorId: null, productId: null });
    expect(findKnownPort([silent], known, '/dev/ttyS0')).toBe('/dev/ttyS0');
    expect(findKnownPort([], known, '/dev/ttyUSB0')).toBe('/dev/ttyUSB0');
  });

  it.each([
    ['another serial number', port('/dev/ttyUSB0', 'B-04'), 'B-04'],
    ['no serial number and another product', port('/dev/ttyUSB0', null, { productId: '0002' }), 'without'],
  ])('refuses the last path where a device with %s is on it now, and says so', (_what, other, said) => {
    let refusal: unknown;
    try {
      findKnownPort([other], known, '/dev/ttyUSB0');
    } catch (error) {
      refusal = error;
    }
    expect(refusal).toBeInstanceOf(AppError);
    expect(refusal).toMatchObject({ code: 'port-not-found', details: { path: '/dev/ttyUSB0' } });
    expect((refusal as AppError).message).toContain(said);
    expect((refusal as AppError).message).toContain('A-17');
  });
});

describe('the identity of a port', () => {
  it('is there only with a serial number', () => {
    expect(usbIdentityOf(port('/dev/ttyUSB0', 'A-17'))).toEqual(known);
    expect(usbIdentityOf(port('/dev/ttyUSB0', null))).toBeNull();
    expect(usbIdentityOf(port('/dev/ttyUSB0', ' '))).toBeNull();
  });
});
