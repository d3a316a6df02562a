import { ipcMain, type IpcMainInvokeEvent, type WebContents } from 'electron';
import type { Reply } from '../../../shared-lib/api-contract.ts';
import type { Dispatcher } from '../../dispatch-request.ts';
import type { Logger } from '../../platform/logger.ts';
import type { Services } from '../../services.ts';
import { eventChannel, requestChannel } from './ipc-channels.ts';
import { isOwnPage } from './page-files.ts';

/** Answers the requests of one window and passes it the events. The only file that knows Electron's IPC in main. */
export function serveWindow(
  window: WebContents,
  dispatcher: Dispatcher,
  services: Pick<Services, 'onEvent'>,
  log: Logger,
): () => void {
  const isOwnWindow = (event: IpcMainInvokeEvent): boolean =>
    event.sender === window &&
    event.senderFrame !== null &&
    event.senderFrame === window.mainFrame &&
    isOwnPage(event.senderFrame.url);

  ipcMain.handle(requestChannel, (event, name: unknown, params: unknown): Promise<Reply> => {
    if (isOwnWindow(event)) return dispatcher.dispatch(name, params);
    log.warn('a request from a frame that is not the own window was refused');
    return Promise.resolve(notAuthorised);
  });
  const stopListening = services.onEvent((name, payload) => {
    if (!window.isDestroyed()) window.send(eventChannel, name, payload);
  });
  return () => {
    stopListening();
    ipcMain.removeHandler(requestChannel);
  };
}

const notAuthorised: Reply = {
  ok: false,
  error: {
    code: 'not-authorised',
    message: 'Only the program’s own window may ask for this. Nothing was changed.',
    details: {},
  },
};
