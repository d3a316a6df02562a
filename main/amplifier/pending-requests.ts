/** Questions to another process, each answered by its number. */
export interface PendingRequests<Answer> {
  /** `send` is given the number that the answer will carry. */
  ask(send: (requestId: number) => void): Promise<Answer>;
  resolve(requestId: number, answer: Answer): void;
  reject(requestId: number, error: Error): void;
  rejectAll(error: Error): void;
}

export function createPendingRequests<Answer>(): PendingRequests<Answer> {
  const waiting = new Map<number, { resolve(answer: Answer): void; reject(error: Error): void }>();
  let nextRequestId = 1;

  const take = (requestId: number): ReturnType<typeof waiting.get> => {
    const request = waiting.get(requestId);
    waiting.delete(requestId);
    return request;
  };

  return {
    ask: (send) =>
      new Promise((resolve, reject) => {
        const requestId = nextRequestId;
        nextRequestId += 1;
        waiting.set(requestId, { resolve, reject });
        send(requestId);
      }),
    resolve(requestId, answer) {
      take(requestId)?.resolve(answer);
    },
    reject(requestId, error) {
      take(requestId)?.reject(error);
    },
    rejectAll(error) {
      const all = [...waiting.values()];
      waiting.clear();
      for (const request of all) request.reject(error);
    },
  };
}
