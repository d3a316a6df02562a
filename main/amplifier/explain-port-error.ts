import type { ErrorCode } from '../../shared-lib/app-error.ts';

export interface PortProblem {
  readonly code: ErrorCode;
  readonly message: string;
}

/**
 * Says what a failed opening means and what to do. The binding reports the system's own words, which differ by platform:
 * POSIX error texts on Linux and macOS, those of CreateFile on Windows.
 */
export function explainPortError(
  path: string,
  systemMessage: string,
  platform: NodeJS.Platform,
): PortProblem {
  const text = systemMessage.toLowerCase();
  if (text.includes('no such file') || text.includes('file not found') || text.includes('enoent')) {
    return {
      code: 'port-not-found',
      message: `There is no port ${path}. Nothing was recorded from it. Plug the amplifier in, refresh the list and choose its port.`,
    };
  }
  if (
    text.includes('cannot lock port') ||
    text.includes('resource busy') ||
    text.includes('temporarily unavailable')
  ) {
    return {
      code: 'port-busy',
      message: `The port ${path} is in use by another program. Nothing was recorded from it. Close that program, then connect again.`,
    };
  }
  if (text.includes('permission denied') || text.includes('eacces') || text.includes('access denied')) {
    return { code: 'port-permission-denied', message: explainPermission(path, platform) };
  }
  return {
    code: 'port-failed',
    message: `The port ${path} could not be opened: ${systemMessage}. Nothing was recorded from it. Unplug the amplifier, plug it in again and connect once more.`,
  };
}

function explainPermission(path: string, platform: NodeJS.Platform): string {
  if (platform === 'linux') {
    return `You may not use the port ${path}. Serial ports belong to the group dialout: run "sudo usermod -aG dialout $USER", log out and in again, then connect.`;
  }
  if (platform === 'win32') {
    return `Windows refused the port ${path}; as a rule another program has it open. Close that program, then connect again.`;
  }
  return `You may not use the port ${path}. Give your user read and write rights to it, then connect again.`;
}
