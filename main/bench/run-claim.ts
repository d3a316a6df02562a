/** A guided calibration, whose readings a trial would spoil; or data that are taken in, beside which nothing is recorded. */
export type ClaimHolder = 'run' | 'import';

/** Who has the bench besides trials; one at a time. */
export interface RunClaim {
  hold(holder?: ClaimHolder): void;
  /** Nothing happens where another has it. */
  release(holder?: ClaimHolder): void;
  isHeld(): boolean;
  /** Null: nobody. */
  heldBy(): ClaimHolder | null;
}

export function createRunClaim(): RunClaim {
  let held: ClaimHolder | null = null;
  return {
    hold(holder = 'run') {
      held = holder;
    },
    release(holder = 'run') {
      if (held === holder) held = null;
    },
    isHeld: () => held !== null,
    heldBy: () => held,
  };
}
