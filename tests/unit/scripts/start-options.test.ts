import { describe, expect, it } from 'vitest';
import { readStartOptions } from '../../../scripts/start-options.mjs';

const none = { host: null, dataFolder: null, port: null, isSimulated: false, hasWindow: true };

describe('options of npm start', () => {
  it.each([
    [[], none],
    [['--host', 'browser'], { ...none, host: 'browser' }],
    [['--host=desktop'], { ...none, host: 'desktop' }],
    [['--data', 'some/folder'], { ...none, dataFolder: 'some/folder' }],
    [['--port', '0'], { ...none, port: 0 }],
    [['--port', '65535'], { ...none, port: 65_535 }],
    [['--simulated', '--no-window'], { ...none, isSimulated: true, hasWindow: false }],
  ])('reads %j', (argv, expected) => {
    expect(readStartOptions(argv)).toStrictEqual(expected);
  });

  it('gives help before anything else', () => {
    expect(readStartOptions(['--port', 'x', '--help'])).toBe('help');
  });

  it.each([
    [['--colour'], /--colour/],
    [['somewhere'], /somewhere/],
    [['--host', 'phone'], /phone/],
    [['--host'], /--host/],
    [['--port', '65536'], /65536/],
    [['--port', '-1'], /--port/],
    [['--port', '1e3'], /1e3/],
    [['--data', ''], /--data/],
    [['--host', 'desktop', '--no-window'], /--no-window/],
    [['--host', 'desktop', '--port', '1'], /--port/],
  ])('refuses %j and says why', (argv, reason) => {
    expect(readStartOptions(argv)).toStrictEqual({ mistake: expect.stringMatching(reason) });
  });
});
