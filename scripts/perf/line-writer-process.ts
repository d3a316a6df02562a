import { constants } from 'node:os';
import { takePriority } from '../../main/platform/process-priority.ts';
import { openPseudoTerminal } from '../../main/simulation/pseudo-terminal.ts';
import { createLineWriter } from './line-writer.ts';
import type { WriterCommand, WriterReport } from './messages.ts';

/**
 * A process of its own that writes lines to a pseudo-terminal at a steady rate from the moment a program opens it.
 *
 * A line that finds the buffer full is lost, as in a real amplifier: its number is gone. A writer that wakes late moves
 * its schedule on instead of sending a burst, which no reader could take: those lines never get a number.
 */
const rateHz = Number(process.argv[2]);
/** A pseudo-terminal holds some 14 to 20 KB, which is 5 to 7 ms of these lines at 100 000/s. */
const MOST_BEHIND_S = 0.003;
const LINE_FEED = 0x0a;
/** Asking whether the port is still open costs more than a write. */
const WAKES_PER_LOOK = 100;

const mostDue = Math.max(1, Math.floor(MOST_BEHIND_S * rateHz));
const terminal = openPseudoTerminal();
const writer = createLineWriter(rateHz);
let isHeard = false;
let wakes = 0;
let originUs = 0;
let taken = 0;
let written = 0;
let dropped = 0;
let movedOn = 0;
/** What is left of a line that the port has taken in part. */
let cutLine: Uint8Array | null = null;

function nowUs(): number {
  return performance.now() * 1000;
}

function takeDue(): number {
  const due = Math.floor(((nowUs() - originUs) * rateHz) / 1e6) - taken;
  const kept = Math.min(Math.max(0, due), mostDue);
  if (due > kept) {
    originUs += ((due - kept) * 1e6) / rateHz;
    movedOn += due - kept;
  }
  taken += kept;
  return kept;
}

/** Whether the port has taken the rest of the line that was cut. */
function finishCutLine(): boolean {
  if (cutLine === null) return true;
  const sent = terminal.write(cutLine);
  cutLine = sent < cutLine.length ? cutLine.subarray(sent) : null;
  return cutLine === null;
}

function writeLines(bytes: Uint8Array, lineCount: number): void {
  const sent = terminal.write(bytes);
  if (sent === bytes.length) {
    written += lineCount;
    return;
  }
  let lineEnds = 0;
  for (let index = 0; index < sent; index += 1) if (bytes[index] === LINE_FEED) lineEnds += 1;
  const isCut = sent > 0 && bytes[sent - 1] !== LINE_FEED;
  // A copy, because the next lines are rendered into the same bytes.
  if (isCut) cutLine = Uint8Array.from(bytes.subarray(sent, bytes.indexOf(LINE_FEED, sent) + 1));
  const begun = lineEnds + Number(isCut);
  written += begun;
  dropped += lineCount - begun;
}

function wake(): void {
  wakes += 1;
  if (!isHeard || wakes % WAKES_PER_LOOK === 0) {
    const wasHeard = isHeard;
    isHeard = terminal.isListenedTo();
    if (!isHeard) return;
    if (!wasHeard) {
      originUs = nowUs();
      taken = 0;
      cutLine = null;
    }
  }
  const due = takeDue();
  if (due === 0) return;
  const bytes = writer.render(due);
  if (finishCutLine()) writeLines(bytes, due);
  else dropped += due;
}

function post(report: WriterReport): void {
  process.send?.(report);
}

process.on('message', (command: WriterCommand) => {
  if (command.type === 'load') writer.load(command.torqueNm, command.durationS);
  else post({ type: 'written', written, dropped, movedOn });
});
process.on('disconnect', () => process.exit());
// It stands for a device, which no program holds up. Not every account may do this; `movedOn` then says what it cost.
takePriority(constants.priority.PRIORITY_HIGHEST);
setInterval(wake, 1);
post({ type: 'port', path: terminal.slavePath });
