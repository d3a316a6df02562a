/** Whether a calibration run has the bench: its readings and a trial would spoil each other. */
export interface RunClaim {
  hold(): void;
  release(): void;
  isHeld(): boolean;
}

export function createRunClaim(): RunClaim {
  let held = false;
  return {
    hold() {
      held = true;
    },
    release() {
      held = false;
    },
    isHeld: () => held,
  };
}
