import { describe, expect, it } from 'vitest';
import { serialTarget } from '../helpers/running-session.ts';
import { fullSessionProfile as profile, useSessionsOnPorts } from '../helpers/sessions-on-ports.ts';

const { start, plugIn } = useSessionsOnPorts();

describe('texts to an amplifier', () => {
  it('are sent as the profile gives them: on opening, then to start, on request, and to stop before the port closes', async () => {
    const { session, until } = await start();
    const amplifier = plugIn();
    let received = '';
    amplifier.onReceived = (text) => (received += text);
    const textsToSend = { onOpen: '\x1bid\r\n', start: 'GO\r', stop: 'HALT\x03', zero: 'Z' };
    await session.connect(serialTarget(amplifier.path, { ...profile, textsToSend }));
    await until('the texts of opening', () => received.length >= 8);
    expect(received).toBe('\x1bid\r\nGO\r');
    session.sendText('tare\xe9\0');
    await until('the text on request', () => received.length >= 14);
    expect(received.slice(8)).toBe('tare\xe9\0');
    await session.disconnect();
    await until('the text to stop', () => received.length >= 19);
    expect(received.slice(14)).toBe('HALT\x03');
    expect(() => {
      session.sendText('anyone there?');
    }).toThrow(expect.objectContaining({ code: 'amplifier-not-connected' }) as Error);
  });

  it('stop the amplifier also when the program ends', async () => {
    const { session, until, close } = await start();
    const amplifier = plugIn();
    let received = '';
    amplifier.onReceived = (text) => (received += text);
    const textsToSend = { onOpen: null, start: null, stop: 'HALT\r', zero: null };
    await session.connect(serialTarget(amplifier.path, { ...profile, textsToSend }));
    await close();
    await until('the text to stop', () => received === 'HALT\r');
  });
});

describe('listening', () => {
  it('gives the raw bytes of a port, and says when they end', async () => {
    const { session, until, heard, listeningEnded, counts } = await start();
    const amplifier = plugIn();
    await session.listen(amplifier.path, 921_600);
    await until('bytes', () => Buffer.concat(heard).length > 2000);
    expect(session.status()).toMatchObject({ source: 'none', link: 'disconnected' });
    expect(Buffer.concat(heard).toString('latin1')).toMatch(/^\$\d+,\d+,-?\d+\*[0-9A-F]{2}$/m);
    await session.listen(amplifier.path, 115_200);
    expect(listeningEnded).toEqual([]);
    amplifier.unplug();
    await until('the end', () => listeningEnded.length > 0);
    expect(listeningEnded).toEqual([expect.any(String)]);
    expect(counts()).toEqual([]);
  });

  it('ends where an amplifier is connected instead, and fails where there is no port', async () => {
    const { session, until, listeningEnded, counts } = await start();
    await expect(session.listen('/dev/no-such-port', 9600)).rejects.toMatchObject({ code: 'port-not-found' });
    const amplifier = plugIn();
    await session.listen(amplifier.path, 921_600);
    await session.connect(serialTarget(amplifier.path, profile));
    expect(listeningEnded).toEqual([null]);
    await until('samples', () => counts().length > 50);
  });
});
