import { useMemo, useSyncExternalStore } from 'react';

const STORAGE_KEY = 'proofarm.handlingPutOff';
/** Those of one session are wanted; older ones fall out at the front. */
const MOST = 200;
const listeners = new Set<() => void>();

function subscribe(listener: () => void): () => void {
  listeners.add(listener);
  // Another window of the same bench, such as the audience view.
  addEventListener('storage', listener);
  return () => {
    listeners.delete(listener);
    removeEventListener('storage', listener);
  };
}

function stored(): string {
  return localStorage.getItem(STORAGE_KEY) ?? '';
}

/** Who said "not now" for which tool, in which session. Kept by this browser, for all of its windows. */
export function putOffKey(sessionId: string, operator: string, toolId: string): string {
  return [sessionId, operator.trim().toLowerCase(), toolId].map(encodeURIComponent).join('/');
}

export function putOff(key: string): void {
  const keys = stored().split('\n').filter(Boolean);
  localStorage.setItem(STORAGE_KEY, [...keys, key].slice(-MOST).join('\n'));
  for (const listener of listeners) listener();
}

export interface PutOffs {
  readonly has: (key: string) => boolean;
  readonly hasOfAnyone: (sessionId: string, toolId: string) => boolean;
}

export function readPutOffs(text: string): PutOffs {
  const keys = text.split('\n').filter(Boolean);
  return {
    has: (key) => keys.includes(key),
    hasOfAnyone: (sessionId, toolId) => {
      const [session, , tool] = putOffKey(sessionId, '', toolId).split('/');
      return keys.some((key) => {
        const parts = key.split('/');
        return parts[0] === session && parts[2] === tool;
      });
    },
  };
}

export function usePutOffs(): PutOffs {
  const text = useSyncExternalStore(subscribe, stored);
  return useMemo(() => readPutOffs(text), [text]);
}
