import type { BrowserWindowConstructorOptions, IpcMainInvokeEvent } from 'electron';

/**
 * Stands in for the parts of Electron that carry requests and events between a window and the main process, and for
 * the window as far as it can be told what to deny.
 *
 * Like the original, it clones everything that crosses by structured clone, rejects an invocation that nobody handles
 * or whose handler throws with an Error that has lost all but its text, and tells the handler which frame asked.
 */
type Handler = (event: IpcMainInvokeEvent, ...args: unknown[]) => unknown;
type Listener = (event: unknown, ...args: unknown[]) => void;
type RequestHandler = (contents: unknown, permission: string, answer: (isGranted: boolean) => void) => void;
type CheckHandler = (contents: unknown, permission: string) => boolean;
type DeviceHandler = (details: unknown) => boolean;

/** Remembers what a window was made with and what it was told to deny. */
export class StandInWindow {
  readonly options: BrowserWindowConstructorOptions;
  readonly #listeners = new Map<string, (event: unknown) => void>();
  #openHandler: (details: { url: string }) => unknown = () => ({ action: 'allow' });
  #requestHandler: RequestHandler = (_contents, _permission, answer) => {
    answer(true);
  };
  #checkHandler: CheckHandler = () => true;
  #deviceHandler: DeviceHandler = () => true;

  readonly webContents: object;

  /** `contents` stands for what the window shows. */
  constructor(options: BrowserWindowConstructorOptions, contents: object) {
    this.options = options;
    this.webContents = contents;
    Object.assign(contents, {
      setWindowOpenHandler: (handler: (details: { url: string }) => unknown): void => {
        this.#openHandler = handler;
      },
      on: (name: string, listener: (event: unknown) => void): void => {
        this.#listeners.set(name, listener);
      },
      getURL: (): string => this.shownAddress,
      session: {
        setPermissionRequestHandler: (handler: RequestHandler): void => {
          this.#requestHandler = handler;
        },
        setPermissionCheckHandler: (handler: CheckHandler): void => {
          this.#checkHandler = handler;
        },
        setDevicePermissionHandler: (handler: DeviceHandler): void => {
          this.#deviceHandler = handler;
        },
      },
    });
  }

  once(): void {
    // It is never shown, so that nothing it would be told of happens.
  }

  readonly loadedAddresses: string[] = [];
  /** Where the page has gone by itself since. */
  shownAddress = 'proofarm://page/logbook';

  loadURL(address: string): Promise<void> {
    this.loadedAddresses.push(address);
    return Promise.resolve();
  }

  openWindow(url: string): unknown {
    return this.#openHandler({ url });
  }

  isPrevented(name: string, details: object): boolean {
    let isPrevented = false;
    this.#listeners.get(name)?.({
      ...details,
      preventDefault: () => {
        isPrevented = true;
      },
    });
    return isPrevented;
  }

  /** Whether any of the three ways to a permission grants it. */
  isPermitted(permission: string): boolean {
    const answers = [this.#checkHandler(null, permission), this.#deviceHandler({ deviceType: permission })];
    this.#requestHandler(null, permission, (answer) => answers.push(answer));
    return answers.includes(true);
  }
}

export class ElectronStandIn {
  readonly windows: StandInWindow[] = [];
  readonly #handlers = new Map<string, Handler>();
  readonly #listeners = new Map<string, Set<Listener>>();
  readonly #underWay = new Set<(error: Error) => void>();
  #isDestroyed = false;
  /** What the preload script has exposed to the page. */
  readonly exposed = new Map<string, unknown>();

  readonly ipcMain = {
    handle: (channel: string, handler: Handler): void => {
      if (this.#handlers.has(channel)) {
        throw new Error(`Attempted to register a second handler for '${channel}'`);
      }
      this.#handlers.set(channel, handler);
    },
    removeHandler: (channel: string): void => {
      this.#handlers.delete(channel);
    },
  };

  readonly ipcRenderer = {
    invoke: (channel: string, ...args: unknown[]): Promise<unknown> =>
      this.invokeFrom({ frame: this.mainFrame, sender: this.webContents }, channel, ...args),
    on: (channel: string, listener: Listener): void => {
      const ofChannel = this.#listeners.get(channel) ?? new Set();
      this.#listeners.set(channel, ofChannel.add(listener));
    },
    off: (channel: string, listener: Listener): void => {
      this.#listeners.get(channel)?.delete(listener);
    },
  };

  readonly contextBridge = {
    exposeInMainWorld: (name: string, api: object): void => {
      this.exposed.set(name, Object.freeze(api));
    },
  };

  readonly mainFrame = { url: 'proofarm://page/bench' };

  readonly webContents = {
    mainFrame: this.mainFrame,
    isDestroyed: (): boolean => this.#isDestroyed,
    send: (channel: string, ...args: unknown[]): void => {
      if (this.#isDestroyed) throw new Error('Object has been destroyed');
      const clones = structuredClone(args);
      queueMicrotask(() => {
        for (const listener of [...(this.#listeners.get(channel) ?? [])]) listener({}, ...clones);
      });
    },
  };

  /** What `import ... from 'electron'` gives. */
  module(): object {
    const { ipcMain, ipcRenderer, contextBridge, windows } = this;
    // The page that asks over ipcRenderer is the one in this window.
    const contents = this.webContents;
    class BrowserWindow extends StandInWindow {
      constructor(options: BrowserWindowConstructorOptions) {
        super(options, contents);
        windows.push(this);
      }
    }
    return { ipcMain, ipcRenderer, contextBridge, BrowserWindow };
  }

  /** As `ipcRenderer.invoke`, but from a frame or a window of the test's choice. */
  async invokeFrom(
    from: { frame: { url: string } | null; sender: unknown },
    channel: string,
    ...args: unknown[]
  ): Promise<unknown> {
    const clones = structuredClone(args);
    const handler = this.#handlers.get(channel);
    if (handler === undefined) {
      throw new Error(`Error invoking remote method '${channel}': No handler registered for '${channel}'`);
    }
    const event = { senderFrame: from.frame, sender: from.sender } as IpcMainInvokeEvent;
    const answer = new Promise<unknown>((resolve, reject) => {
      this.#underWay.add(reject);
      Promise.resolve()
        .then(() => handler(event, ...clones))
        .then((result) => structuredClone(result))
        .then(resolve, (error: unknown) => {
          reject(new Error(`Error invoking remote method '${channel}': ${String(error)}`));
        })
        .finally(() => this.#underWay.delete(reject));
    });
    return answer;
  }

  /** The main process goes away with requests under way. */
  breakOff(): void {
    this.#isDestroyed = true;
    this.#handlers.clear();
    for (const reject of this.#underWay) reject(new Error('reply was never sent'));
    this.#underWay.clear();
  }

  listenerCount(): number {
    return [...this.#listeners.values()].reduce((count, ofChannel) => count + ofChannel.size, 0);
  }
}
