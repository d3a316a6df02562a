/** Whether it came to its end within the limit. */
export async function withinLimit(work: Promise<unknown>, limitMs: number): Promise<boolean> {
  let timer: NodeJS.Timeout | undefined;
  const limit = new Promise<boolean>((resolve) => {
    timer = setTimeout(() => {
      resolve(false);
    }, limitMs);
  });
  try {
    return await Promise.race([work.then(() => true), limit]);
  } finally {
    clearTimeout(timer);
  }
}
