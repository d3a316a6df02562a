import { accessSync, constants, readFileSync } from 'node:fs';
import { SerialPort } from 'serialport';
import { explainPortError } from '../../main/amplifier/explain-port-error.ts';
import { findBrowser, missingBrowser } from '../find-browser.mjs';
import { findElectron } from '../open-window.mjs';
import { inProject } from '../project-root.mjs';
import { type Finding, good, look, looked, wrong } from './finding.ts';

/** What the program runs on: Node, a window, and ports that this user may open. */
export async function lookAtComputer(): Promise<Finding[]> {
  return [
    lookAtNode(),
    ...(await looked('Window', lookAtWindow, 'The page can be opened by hand.')),
    ...(await looked('Ports', lookAtPorts, whereNoPortsAreListed())),
  ];
}

function lookAtNode(): Finding {
  const [major = 0, minor = 0] = process.versions.node.split('.').map(Number);
  const sentence = `${process.version} on ${process.platform} ${process.arch}.`;
  return major > 22 || (major === 22 && minor >= 12)
    ? good('Node', sentence)
    : wrong('Node', `${sentence} The program needs 22.12 or newer: start everything through npm.`);
}

function lookAtWindow(): Finding {
  const missing = missingBrowser();
  if (missing !== null) {
    return wrong(
      'Window',
      `CHROME_PATH names ${missing}, which is not there. Correct it, or unset it to have a browser looked for; until then the page can be opened by hand.`,
    );
  }
  if (findElectron(inProject('node_modules', 'electron'), (path) => readFileSync(path, 'utf8')) !== null) {
    return good('Window', 'Electron is there.');
  }
  const browser = findBrowser();
  return browser === null
    ? look(
        'Window',
        'There is neither Electron nor a Chromium-family browser. The page can be opened by hand; or set CHROME_PATH.',
      )
    : good('Window', `Electron is not there; the page opens in ${browser}.`);
}

function whereNoPortsAreListed(): string {
  const typed = 'Until the system lists its ports again, the path of one can be typed in Setup.';
  return process.platform === 'linux'
    ? `On Linux they are listed by the program udevadm: install it (it belongs to udev). ${typed}`
    : typed;
}

async function lookAtPorts(): Promise<Finding[]> {
  const ports = await SerialPort.list();
  const usb = ports.filter(({ vendorId }) => vendorId !== undefined);
  if (usb.length === 0) {
    return [
      look(
        'Ports',
        'No USB serial port is there. Plug the amplifier in; a port that the system does not list can be typed in Setup.',
      ),
    ];
  }
  return usb.map(({ path, manufacturer }) => {
    const name = manufacturer === undefined ? path : `${path} (${manufacturer})`;
    const problem = whyNotOpened(path);
    return problem === null ? good('Port', `${name} may be opened.`) : wrong('Port', problem);
  });
}

function whyNotOpened(path: string): string | null {
  // On Windows a port is no file whose rights could be looked at.
  if (process.platform === 'win32') return null;
  try {
    accessSync(path, constants.R_OK | constants.W_OK);
    return null;
  } catch (error) {
    return explainPortError(path, error instanceof Error ? error.message : String(error), process.platform)
      .message;
  }
}
