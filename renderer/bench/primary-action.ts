import type { PressMeaning } from './press-rules.ts';

/** What the one primary control does next. `stop` takes a hold, everything else one press. */
export type PrimaryAction =
  /** `entryId`: the entry of the run sheet that the window shows; null: no sheet. */
  | { readonly does: 'start'; readonly label: string; readonly entryId: string | null }
  | { readonly does: 'takeUp'; readonly label: string; readonly entryId: string }
  | { readonly does: 'endSheet'; readonly label: string; readonly runSheetId: string }
  | { readonly does: 'stop'; readonly label: string }
  | { readonly does: 'keep'; readonly label: string; readonly trialId: string }
  | { readonly does: 'askVoidReason'; readonly label: string; readonly trialId: string }
  | { readonly does: 'takeZero'; readonly label: string }
  | { readonly does: 'showSafetyList'; readonly label: string }
  | { readonly does: 'showSenseCheck'; readonly label: string }
  | { readonly does: 'goTo'; readonly label: string; readonly address: '/setup' | '/calibrate' }
  | { readonly does: 'nothing'; readonly label: string };

/** Everything the Bench says about a status. `next` is short: it is read from three metres away. */
export interface BenchSentences {
  readonly next: string;
  readonly detail: string | null;
  /** What a pull is that does not count like the others: "conditioning, not counted". */
  readonly mark: string | null;
  /** `act`: the operator's hands are wanted now. */
  readonly tone: 'calm' | 'act' | 'caution' | 'fault';
  readonly primary: PrimaryAction;
  /** From the countdown until the run has been stored. */
  readonly isUnderWay: boolean;
}

export function nothing(label: string): PrimaryAction {
  return { does: 'nothing', label };
}

export function pressMeaning({ does }: PrimaryAction): PressMeaning {
  if (does === 'nothing') return 'none';
  return does === 'stop' ? 'hold' : 'press';
}
