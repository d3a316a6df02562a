import { describe, expect, it } from 'vitest';
import type { EventName, EventPayload, RequestName } from '../../../../shared-lib/api-contract.ts';
import { AppError } from '../../../../shared-lib/app-error.ts';
import { BenchStore } from '../../../../renderer/api-client/bench-store.ts';
import { EventListeners } from '../../../../renderer/api-client/event-listeners.ts';
import type { LinkedConnection, LinkState } from '../../../../renderer/api-client/link-state.ts';

/** A connection whose link and answers a test sets by hand. The store passes what it gets on, so marks stand for it. */
class ScriptedLink implements LinkedConnection {
  readonly asked: RequestName[] = [];
  readonly events = new EventListeners();
  answer: (name: RequestName) => Promise<unknown> = async (name) => `first ${name}`;
  #linkState: LinkState = 'connecting';
  #linkListeners = new Set<() => void>();

  request(name: RequestName): Promise<never> {
    this.asked.push(name);
    return this.answer(name) as Promise<never>;
  }

  subscribe<Name extends EventName>(name: Name, listener: (payload: EventPayload<Name>) => void): () => void {
    return this.events.add(name, listener);
  }

  getLinkState(): LinkState {
    return this.#linkState;
  }

  subscribeToLinkState(listener: () => void): () => void {
    this.#linkListeners.add(listener);
    return () => this.#linkListeners.delete(listener);
  }

  setLinkState(linkState: LinkState): void {
    this.#linkState = linkState;
    for (const listener of this.#linkListeners) listener();
  }
}

describe('bench store', () => {
  it('asks for status and settings once the link is open, and not before', async () => {
    const link = new ScriptedLink();
    const store = new BenchStore(link);
    store.start();
    expect(link.asked).toEqual([]);
    expect(store.getSnapshot()).toMatchObject({ status: null, settings: null, linkState: 'connecting' });
    link.setLinkState('open');
    await expect.poll(() => store.getSnapshot().status).toBe('first getStatus');
    expect(store.getSnapshot().settings).toBe('first getSettings');
  });

  it('follows the events between', async () => {
    const link = new ScriptedLink();
    const store = new BenchStore(link);
    store.start();
    link.setLinkState('open');
    await expect.poll(() => store.getSnapshot().status).toBe('first getStatus');
    link.events.notify('statusChanged', 'newer status');
    link.events.notify('settingsChanged', 'newer settings');
    expect(store.getSnapshot()).toMatchObject({ status: 'newer status', settings: 'newer settings' });
  });

  it('shows the first and the newest of a burst, and not each of them', async () => {
    const link = new ScriptedLink();
    const store = new BenchStore(link);
    store.start();
    const shown: unknown[] = [];
    store.subscribe(() => shown.push(store.getSnapshot().status));
    for (let number = 1; number <= 100; number += 1) link.events.notify('statusChanged', number);
    await expect.poll(() => store.getSnapshot().status).toBe(100);
    expect(shown).toEqual([1, 100]);
  });

  it('keeps what it last knew while the link is lost and asks again after a reconnection', async () => {
    const link = new ScriptedLink();
    const store = new BenchStore(link);
    store.start();
    link.setLinkState('open');
    await expect.poll(() => store.getSnapshot().status).toBe('first getStatus');
    link.setLinkState('lost');
    expect(store.getSnapshot()).toMatchObject({ status: 'first getStatus', linkState: 'lost' });
    link.answer = async (name) => `second ${name}`;
    link.setLinkState('open');
    await expect.poll(() => store.getSnapshot().status).toBe('second getStatus');
    expect(store.getSnapshot().settings).toBe('second getSettings');
  });

  it('shows why the services cannot answer, until they can', async () => {
    const link = new ScriptedLink();
    const damaged = new AppError('database-damaged', 'The database is damaged.');
    link.answer = () => Promise.reject(damaged);
    const store = new BenchStore(link);
    store.start();
    link.setLinkState('open');
    await expect.poll(() => store.getSnapshot().problem).toBe(damaged);
    link.events.notify('statusChanged', 'status');
    expect(store.getSnapshot()).toMatchObject({ problem: null, status: 'status' });
  });

  it('does not take a connection that broke in mid-question for a problem of the services', async () => {
    const link = new ScriptedLink();
    link.answer = () => Promise.reject(new AppError('connection-lost', 'Lost.'));
    const store = new BenchStore(link);
    store.start();
    link.setLinkState('open');
    await expect.poll(() => link.asked.length).toBe(2);
    expect(store.getSnapshot().problem).toBeNull();
  });

  describe('is settled', () => {
    async function isSettled(store: BenchStore): Promise<boolean> {
      let hasEnded = false;
      void store.settled().then(() => {
        hasEnded = true;
      });
      // Longer than any chain of promises in it.
      await new Promise((resolve) => setImmediate(resolve));
      return hasEnded;
    }

    it('once status and settings are both known, and not by one of them', async () => {
      const link = new ScriptedLink();
      const store = new BenchStore(link);
      link.answer = () => new Promise(() => undefined);
      store.start();
      link.setLinkState('open');
      link.events.notify('statusChanged', 'status');
      expect(await isSettled(store)).toBe(false);
      link.events.notify('settingsChanged', 'settings');
      expect(await isSettled(store)).toBe(true);
    });

    it('once it is known that nobody answers, or that this window may not ask', async () => {
      for (const linkState of ['lost', 'refused'] as const) {
        const link = new ScriptedLink();
        const store = new BenchStore(link);
        store.start();
        expect(await isSettled(store)).toBe(false);
        link.setLinkState(linkState);
        expect(await isSettled(store)).toBe(true);
      }
    });

    it('once the services have said why they cannot', async () => {
      const link = new ScriptedLink();
      link.answer = () => Promise.reject(new AppError('database-damaged', 'The database is damaged.'));
      const store = new BenchStore(link);
      store.start();
      link.setLinkState('open');
      expect(await isSettled(store)).toBe(true);
    });
  });

  it('hears nothing more after it was stopped', () => {
    const link = new ScriptedLink();
    const store = new BenchStore(link);
    const stop = store.start();
    stop();
    link.events.notify('statusChanged', 'late');
    link.setLinkState('open');
    expect(store.getSnapshot()).toMatchObject({ status: null, linkState: 'connecting' });
    expect(link.asked).toEqual([]);
  });
});
