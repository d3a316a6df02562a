import net from 'node:net';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type WebSocket from 'ws';
import { noDetails } from '../../shared-lib/catalogue/tool-entry.ts';
import type { OverlayFrame, OverlayState } from '../../shared-lib/overlay/overlay-model.ts';
import { decodeWireMessage, wireProtocol } from '../../shared-lib/wire-codec.ts';
import { openPageSocket } from '../contract/transports.ts';
import { armWhenAtRest } from '../helpers/arm-when-at-rest.ts';
import { freePort } from '../helpers/free-port.ts';
import { handshakeOutcome } from '../helpers/raw-requests.ts';
import { makeDataFolder, type RunningServices, startRealServices } from '../helpers/running-services.ts';

function socketOf(url: string): WebSocket {
  const { host, hash } = new URL(url);
  const token = new URLSearchParams(hash.slice(1)).get('token') ?? '';
  return openPageSocket(`ws://${host}/socket`, [wireProtocol, `token.${token}`]);
}

function watch(url: string | null): { seen: OverlayFrame[]; socket: WebSocket } {
  const socket = socketOf(url ?? '');
  const seen: OverlayFrame[] = [];
  socket.on('message', (data, isBinary) => {
    const message = decodeWireMessage(
      isBinary ? (data as ArrayBuffer) : Buffer.from(data as ArrayBuffer).toString(),
    );
    if (message.kind === 'event') seen.push(message.payload as OverlayFrame);
  });
  return { seen, socket };
}

describe('the overlay', () => {
  let folder: ReturnType<typeof makeDataFolder>;
  let services: RunningServices;
  let port: number;

  beforeEach(async () => {
    folder = makeDataFolder();
    services = await startRealServices(folder.path);
    port = await freePort();
  });
  afterEach(async () => {
    await services.close();
    folder.remove();
  });

  const pull = async (toolName: string): Promise<string> => {
    const { handlers } = services;
    await handlers.updateSettings({
      step: { toolName, kind: 'tighten', direction: 'forward', plannedS: 0.5 },
    });
    await armWhenAtRest(handlers);
    await services.untilPhase('run');
    const { trial } = await services.until('the end', ({ trial: { phase } }) =>
      ['kept', 'reviewing', 'interrupted'].includes(phase),
    );
    if (!('trialId' in trial)) throw new Error('There was no trial');
    if (trial.phase !== 'kept') await handlers.keepTrial({ trialId: trial.trialId });
    return trial.trialId;
  };

  it('is off until it is switched on, and keeps address and looks over a start of the program', async () => {
    expect(await services.handlers.getOverlay({})).toMatchObject({ url: null, problem: null });
    const changes = { isOn: true, port, layout: 'curve', theme: 'panel', delayMs: 120 } as const;
    const on = await services.handlers.setOverlay(changes);
    expect(on).toMatchObject({ settings: changes, problem: null, viewerCount: 0, shows: 'live' });
    expect(on.url).toMatch(new RegExp(`^http://127\\.0\\.0\\.1:${port}/#token=[\\w-]{43}$`));
    expect(services.logLines.join('\n')).not.toContain(on.url?.split('token=')[1]);
    await services.close();
    services = await startRealServices(folder.path);
    expect(await services.handlers.getOverlay({})).toEqual(on);
    // The settings of the program do not know of it, and still can be read.
    expect(JSON.stringify(await services.handlers.getSettings({}))).not.toContain('oken');
  });

  it('gives up its old address for a new one, and sends away who watched there', async () => {
    const { url } = await services.handlers.setOverlay({ isOn: true, port });
    const { socket, seen } = watch(url);
    const ended = new Promise<number>((resolve) => socket.on('close', resolve));
    await expect.poll(() => seen.length).toBeGreaterThan(1);
    const renewed = await services.handlers.renewOverlayAddress({});
    expect(await ended).toBe(1001);
    expect(renewed.url).not.toBe(url);
    expect(await handshakeOutcome(socketOf(url ?? ''))).toBe('403');
    expect(await handshakeOutcome(socketOf(renewed.url ?? ''))).toBe('open');
  });

  it('says what to do where the port is taken, keeps what was wanted, and works once it is free', async () => {
    const other = net.createServer();
    await new Promise<void>((resolve) => other.listen(port, '127.0.0.1', resolve));
    const taken = await services.handlers.setOverlay({ isOn: true, port });
    expect(taken).toMatchObject({ settings: { isOn: true, port }, url: null });
    expect(taken.problem).toMatch(/taken by another program.*Choose another port/s);
    await new Promise((resolve) => other.close(resolve));
    expect(await services.handlers.setOverlay({ isOn: true })).toMatchObject({ problem: null });
    const off: OverlayState = await services.handlers.setOverlay({ isOn: false });
    expect(off).toMatchObject({ url: null, problem: null });
  });

  it('tells every page how the bench stands, in order, and a changed look at once', async () => {
    await services.handlers.connectSimulatedBench({});
    const { url } = await services.handlers.setOverlay({ isOn: true, port });
    const { seen, socket } = watch(url);
    await expect.poll(() => seen.map(({ kind }) => kind).slice(0, 3)).toEqual(['look', 'clock', 'run']);
    await expect.poll(async () => (await services.handlers.getOverlay({})).viewerCount).toBe(1);
    await services.handlers.setOverlay({ theme: 'onLight' });
    await expect
      .poll(() => seen.findLast(({ kind }) => kind === 'look'))
      .toMatchObject({ settings: { theme: 'onLight' } });
    const trialId = await pull('Hollin H5');
    const kept = await services.untilPhase('kept');
    await expect
      .poll(() => seen.findLast(({ kind }) => kind === 'run'))
      .toMatchObject({ runId: trialId, phase: 'over', figures: [{ label: 'sustained torque' }, {}] });
    const runs = seen.flatMap((frame) => (frame.kind === 'run' ? [frame] : []));
    const ofRun = runs.filter(({ runId }) => runId === trialId);
    // Until it was kept, no figure of it had been told.
    const before = ofRun.slice(0, -1).flatMap(({ figures }) => figures.map(({ label }) => label));
    expect(before).not.toContain('sustained torque');
    const samples = seen.flatMap((frame) => (frame.kind === 'samples' ? [frame] : []));
    expect(samples.every(({ runId }) => runId === trialId)).toBe(true);
    expect(kept.trialId).toBe(trialId);
    socket.terminate();
  });

  it('holds figures back for the rating of a tool that was put away, pulled by its name', async () => {
    const { handlers } = services;
    const tool = {
      id: 'put-away',
      name: 'Hollin H5',
      supply: 'battery',
      declaredVibrationMps2: null,
      declaredNoiseDbA: null,
      isArchived: true,
    } as const;
    await handlers.saveCatalogueTool({ tool, details: noDetails });
    await handlers.updateSettings({ ratesHandlingBlind: true, operator: 'Demo operator' });
    await handlers.connectSimulatedBench({});
    const { url } = await handlers.setOverlay({ isOn: true, port });
    const { seen, socket } = watch(url);
    const trialId = await pull('Hollin H5');
    const labels = () =>
      seen.flatMap((frame) =>
        frame.kind === 'run' && frame.runId === trialId ? [frame.figures[0]?.label] : [],
      );
    await expect.poll(() => labels().at(-1)).toBe('shown after the rating');
    expect(labels()).not.toContain('sustained torque');
    await handlers.rateHandling({
      toolId: tool.id,
      rater: 'Demo operator',
      score: 8,
      isBlind: true,
      note: '',
    });
    await expect.poll(() => labels().at(-1)).toBe('sustained torque');
    socket.terminate();
  });

  it('plays a replay that ends where a trial begins, and never what nobody has decided on', async () => {
    await services.handlers.connectSimulatedBench({});
    const refused = services.handlers.playReplay({ replay: { trialIds: ['x'], fromS: 0, toS: 1 } });
    await expect(refused).rejects.toMatchObject({ code: 'overlay-unavailable' });
    const { url } = await services.handlers.setOverlay({ isOn: true, port });
    const trialId = await pull('Hollin H5');
    const { seen, socket } = watch(url);
    await expect.poll(() => seen.length).toBeGreaterThan(2);
    await expect(
      services.handlers.playReplay({ replay: { trialIds: ['gone'], fromS: 0, toS: 1 } }),
    ).rejects.toMatchObject({ code: 'trial-not-found' });
    const replay = { trialIds: [trialId, trialId], fromS: -0.2, toS: 0.6 };
    await services.handlers.playReplay({ replay });
    await expect.poll(() => seen.at(-1)).toMatchObject({ kind: 'replay', fromS: -0.2, toS: 0.6 });
    const told = seen.at(-1);
    if (told?.kind !== 'replay') throw new Error('No replay was told');
    expect(told.curves.map(({ label }) => label)).toEqual(['Hollin H5 (1)', 'Hollin H5 (2)']);
    expect(told.curves[0]?.colour).not.toBe(told.curves[1]?.colour);
    expect(told.curves[0]?.timeS[0]).toBeGreaterThanOrEqual(-0.21);
    expect(told.curves[0]?.timeS.at(-1)).toBeLessThanOrEqual(0.61);
    expect(Math.max(...(told.curves[0]?.maxNm ?? []))).toBeGreaterThan(50);
    expect((await services.handlers.getOverlay({})).shows).toBe('replay');

    await services.handlers.playReplay({ replay: { trialIds: [trialId], fromS: 0, toS: 3600 } });
    await armWhenAtRest(services.handlers);
    await expect.poll(() => seen.findLast(({ kind }) => kind === 'run')).toMatchObject({ phase: 'ready' });
    expect((await services.handlers.getOverlay({})).shows).toBe('live');
    await expect(services.handlers.playReplay({ replay })).rejects.toMatchObject({ code: 'invalid-state' });
    await services.handlers.stopTrial({});
    socket.terminate();
  });

  it('ends a replay by itself', async () => {
    await services.handlers.connectSimulatedBench({});
    await services.handlers.setOverlay({ isOn: true, port });
    const trialId = await pull('Hollin H5');
    await services.handlers.playReplay({ replay: { trialIds: [trialId], fromS: 0, toS: 0.2 } });
    expect((await services.handlers.getOverlay({})).shows).toBe('replay');
    await expect
      .poll(async () => (await services.handlers.getOverlay({})).shows, { timeout: 60_000 })
      .toBe('live');
  });
});
