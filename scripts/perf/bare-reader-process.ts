import { ReadlineParser } from '@serialport/parser-readline';
import { SerialPort } from 'serialport';
import type { BareReaderCommand, BareReaderReport } from './messages.ts';

/**
 * What P1 is held against: the serial library alone, and nothing done with the lines but counting.
 *
 * `bytes`: line ends in the chunks of a bare port. `lines`: the port piped into a ReadlineParser.
 */
const [path, kind] = process.argv.slice(2);
if (path === undefined || (kind !== 'bytes' && kind !== 'lines'))
  throw new Error('Needs a path, and bytes or lines');
const LINE_FEED = 0x0a;
/** Holds more than one whole line. */
const TAIL_BYTES = 128;
let lines = 0;
let tail: Buffer = Buffer.alloc(0);

const port = new SerialPort({ path, baudRate: 921_600, autoOpen: false });
if (kind === 'bytes') {
  port.on('data', (chunk: Buffer) => {
    for (let end = chunk.indexOf(LINE_FEED); end !== -1; end = chunk.indexOf(LINE_FEED, end + 1)) lines += 1;
    tail = (chunk.length < TAIL_BYTES ? Buffer.concat([tail, chunk]) : chunk).subarray(-TAIL_BYTES);
  });
} else {
  port.pipe(new ReadlineParser({ delimiter: '\n', encoding: 'latin1' })).on('data', () => {
    lines += 1;
  });
}

/** The first field of the last whole line. */
function newestSequence(): number {
  const text = tail.toString('latin1');
  const lastLine = text.slice(0, text.lastIndexOf('\n')).split('\n').at(-1);
  return Number(/^\$(\d+),/.exec(lastLine ?? '')?.[1]);
}

function post(report: BareReaderReport): void {
  process.send?.(report);
}

process.on('message', (_command: BareReaderCommand) => {
  post({ type: 'counted', lines, sequence: newestSequence() });
});
process.on('disconnect', () => process.exit());
port.open((error) => {
  if (error) throw error;
  post({ type: 'open' });
});
