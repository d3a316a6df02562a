import { execFileSync } from 'node:child_process';
import { closeSync, readSync, writeSync } from 'node:fs';
import { createRequire } from 'node:module';
import process from 'node:process';
import { AppError } from '../../shared-lib/app-error.ts';

export interface PseudoTerminal {
  /** What the program opens as its serial port. */
  readonly slavePath: string;
  /** Whether a program has the port open. What that program sends is read meanwhile. */
  isListenedTo(): boolean;
  /** What was read of that since the last call, one character per byte; of more than 64 KB the newest. */
  takeReceived(): string;
  /** Returns how many of the bytes the port took; fewer than given when its buffer is full. */
  write(bytes: Uint8Array): number;
  /** The program sees its port close. */
  close(): void;
}

const longestReceived = 65_536;

interface NativePty {
  open(
    columns: number,
    rows: number,
  ): { readonly master: number; readonly slave: number; readonly pty: string };
}

/**
 * The package's own `open()` wraps both ends in streams that read at once, and so would swallow the lines meant for
 * the program; only its native part gives the plain file descriptors.
 */
function loadNativePty(): NativePty {
  const require = createRequire(import.meta.url);
  const { requireBinary } = require('@lydell/node-pty/requireBinary.js') as {
    readonly requireBinary: (file: string) => NativePty;
  };
  return requireBinary('pty.node');
}

/** The file descriptors do not block: this is how the system says "later". */
function hasCode(error: unknown, code: string): boolean {
  return error instanceof Error && 'code' in error && error.code === code;
}

/**
 * Opens a pair of pseudo-terminal ends in raw mode, so that nothing is echoed or translated.
 *
 * Linux and macOS only. Errors: AppError 'port-failed' elsewhere.
 */
export function openPseudoTerminal(): PseudoTerminal {
  if (process.platform === 'win32') {
    throw new AppError(
      'port-failed',
      'Windows has no pseudo-terminals, so no simulated serial port can be opened. Use the simulated bench in Setup.',
    );
  }
  const { master, slave, pty: slavePath } = loadNativePty().open(80, 24);
  try {
    execFileSync('stty', [process.platform === 'linux' ? '-F' : '-f', slavePath, 'raw', '-echo']);
  } catch (error) {
    closeSync(master);
    throw error;
  } finally {
    // Held open by us, the port would look as though a program listened, and gather old lines.
    closeSync(slave);
  }

  const scratch = Buffer.alloc(4096);
  let isOpen = true;
  let received = '';

  function isListenedTo(): boolean {
    if (!isOpen) return false;
    try {
      for (let length = readSync(master, scratch); length > 0; length = readSync(master, scratch)) {
        received = (received + scratch.toString('latin1', 0, length)).slice(-longestReceived);
      }
      return false;
    } catch (error) {
      if (hasCode(error, 'EAGAIN')) return true;
      if (hasCode(error, 'EIO')) return false;
      throw error;
    }
  }

  return {
    slavePath,
    isListenedTo,
    takeReceived() {
      const taken = received;
      received = '';
      return taken;
    },
    write(bytes) {
      if (!isOpen) return 0;
      let written = 0;
      try {
        while (written < bytes.length) written += writeSync(master, bytes, written);
      } catch (error) {
        if (!hasCode(error, 'EAGAIN')) throw error;
      }
      return written;
    },
    close() {
      if (!isOpen) return;
      isOpen = false;
      closeSync(master);
    },
  };
}
