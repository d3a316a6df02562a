import { describe, expect, it } from 'vitest';
import type { Reply } from '../../../../shared-lib/api-contract.ts';
import type { PreloadBridge } from '../../../../shared-lib/preload-bridge.ts';
import { IpcConnection } from '../../../../renderer/api-client/ipc-connection.ts';

function bridgeAnswering(answer: () => Promise<Reply>): PreloadBridge {
  return { request: answer, subscribe: () => () => undefined };
}

describe('IPC connection', () => {
  it('returns the result of a reply', async () => {
    const connection = new IpcConnection(bridgeAnswering(async () => ({ ok: true, result: { ports: [] } })));
    await expect(connection.request('listPorts', {})).resolves.toEqual({ ports: [] });
  });

  it('turns a failure that came back as data into an AppError with its code', async () => {
    const error = { code: 'port-busy', message: 'Another program holds it.', details: {} } as const;
    const connection = new IpcConnection(bridgeAnswering(async () => ({ ok: false, error })));
    await expect(connection.request('listPorts', {})).rejects.toMatchObject({
      name: 'AppError',
      code: 'port-busy',
    });
  });

  it('says connection-lost when the main process is gone', async () => {
    const connection = new IpcConnection(bridgeAnswering(() => Promise.reject(new Error('gone'))));
    await expect(connection.request('listPorts', {})).rejects.toMatchObject({ code: 'connection-lost' });
  });
});
