/** What the doctor found about one thing, and what is to be done about it. */
export interface Finding {
  readonly about: string;
  readonly word: 'good' | 'look' | 'wrong';
  readonly sentence: string;
}

export const good = (about: string, sentence: string): Finding => ({ about, word: 'good', sentence });
export const look = (about: string, sentence: string): Finding => ({ about, word: 'look', sentence });
export const wrong = (about: string, sentence: string): Finding => ({ about, word: 'wrong', sentence });

/** One look; where it fails that is a finding too, so that the others are still told. */
export async function looked(
  about: string,
  lookAt: () => Finding | readonly Finding[] | Promise<Finding | readonly Finding[]>,
  whatToDo: string,
): Promise<readonly Finding[]> {
  try {
    return [await lookAt()].flat();
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    return [wrong(about, `It cannot be looked at (${reason.replaceAll(/\s+/g, ' ')}). ${whatToDo}`)];
  }
}
