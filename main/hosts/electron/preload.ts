import { contextBridge, ipcRenderer } from 'electron';
import type { Reply } from '../../../shared-lib/api-contract.ts';
import type { PreloadBridge } from '../../../shared-lib/preload-bridge.ts';
import { eventChannel, requestChannel } from './ipc-channels.ts';

const bridge: PreloadBridge = {
  async request(name, params) {
    try {
      return (await ipcRenderer.invoke(requestChannel, name, params)) as Reply;
    } catch {
      // The other side answers everything; only its absence makes this fail.
      return {
        ok: false,
        error: {
          code: 'connection-lost',
          message:
            'The window has lost the program behind it. What it had measured is stored; close the window and start the program again.',
          details: {},
        },
      };
    }
  },
  subscribe(name, listener) {
    const pass = (_event: unknown, eventName: unknown, payload: unknown): void => {
      if (eventName === name) listener(payload);
    };
    ipcRenderer.on(eventChannel, pass);
    return () => {
      ipcRenderer.off(eventChannel, pass);
    };
  },
};

contextBridge.exposeInMainWorld('proofarm', bridge);
