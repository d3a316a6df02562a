/** What the doctor found about one thing, and what is to be done about it. */
export interface Finding {
  readonly about: string;
  readonly word: 'good' | 'look' | 'wrong';
  readonly sentence: string;
}

export const good = (about: string, sentence: string): Finding => ({ about, word: 'good', sentence });
export const look = (about: string, sentence: string): Finding => ({ about, word: 'look', sentence });
export const wrong = (about: string, sentence: string): Finding => ({ about, word: 'wrong', sentence });
