/** As much of `WakeLockSentinel` as is needed. */
export interface WakeLockHeld {
  release(): Promise<void>;
}

export interface WakeTools {
  /** Null: this browser has no such thing. */
  readonly request: (() => Promise<WakeLockHeld>) | null;
  readonly isVisible: () => boolean;
}

/**
 * Keeps the screen awake while it is wanted. The browser takes the lock away whenever the page is hidden, so it is asked
 * for again when it comes back. A refusal (saving power, no permission) is no trouble of the bench and makes no noise: the screen then
 * goes dark as it is set to.
 */
export class ScreenWake {
  readonly #tools: WakeTools;
  #isWanted = false;
  #held: WakeLockHeld | null = null;
  #isAsking = false;

  constructor(tools: WakeTools) {
    this.#tools = tools;
  }

  async want(isWanted: boolean): Promise<void> {
    this.#isWanted = isWanted;
    if (isWanted) await this.#ask();
    else await this.#release();
  }

  async visibilityChanged(): Promise<void> {
    if (!this.#tools.isVisible()) {
      this.#held = null;
      return;
    }
    if (this.#isWanted) await this.#ask();
  }

  async #ask(): Promise<void> {
    const { request, isVisible } = this.#tools;
    if (request === null || this.#held !== null || this.#isAsking || !isVisible()) return;
    this.#isAsking = true;
    try {
      this.#held = await request();
    } catch (refusal) {
      // Every refusal is a DOMException; anything else is a mistake of ours.
      if (!(refusal instanceof DOMException)) throw refusal;
    } finally {
      this.#isAsking = false;
    }
    if (!this.#isWanted) await this.#release();
  }

  async #release(): Promise<void> {
    const held = this.#held;
    this.#held = null;
    await held?.release();
  }
}
