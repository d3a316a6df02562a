import { describe, expect, it } from 'vitest';
import { explainPortError } from '../../../../main/amplifier/explain-port-error.ts';

describe('a port that does not open', () => {
  it.each([
    [
      'Error: No such file or directory, cannot open /dev/ttyUSB0',
      'linux',
      'port-not-found',
      'refresh the list',
    ],
    ['Opening COM7: File not found', 'win32', 'port-not-found', 'refresh the list'],
    [
      'Error: Permission denied, cannot open /dev/ttyUSB0',
      'linux',
      'port-permission-denied',
      'sudo usermod -aG dialout $USER',
    ],
    [
      'Error: Permission denied, cannot open /dev/cu.usb',
      'darwin',
      'port-permission-denied',
      'read and write rights',
    ],
    ['Opening COM7: Access denied', 'win32', 'port-permission-denied', 'another program'],
    ['Error Resource temporarily unavailable Cannot lock port', 'linux', 'port-busy', 'Close that program'],
    ['Error: Device or resource busy, cannot open /dev/ttyACM0', 'linux', 'port-busy', 'Close that program'],
    ['Error: Input/output error setting custom baud rate', 'linux', 'port-failed', 'Input/output error'],
  ] as const)('%s on %s: %s', (systemMessage, platform, code, advice) => {
    const problem = explainPortError('/dev/port', systemMessage, platform);
    expect(problem.code).toBe(code);
    expect(problem.message).toContain('/dev/port');
    expect(problem.message).toContain(advice);
  });
});
