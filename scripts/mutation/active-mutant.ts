/** Which mutant is active while tests run, and what they reach; instrumented sources ask it as `globalThis.$mutation`. */
export interface MutationSwitch {
  /** 0: none, the sources are as they are. */
  active: number;
  /** By number: 1 where the place of this mutant was reached since it was set to 0. */
  readonly reached: Uint8Array;
  /** Of processor time of this process, in us; a loop that goes round after it ends with an error. */
  endsAtUs: number;
  is(mutant: number): boolean;
  tick(): void;
}

declare global {
  var $mutation: MutationSwitch;
}

/** No failed expectation: a loop that would not have ended. */
export class EndlessLoop extends Error {}

/** Asking for the time costs more than a turn of most loops. */
const TURNS_BETWEEN_LOOKS = 1 << 12;

export function createMutationSwitch(mutantCount: number): MutationSwitch {
  let turns = 0;
  return {
    active: 0,
    reached: new Uint8Array(mutantCount + 1),
    endsAtUs: Infinity,
    is(mutant) {
      this.reached[mutant] = 1;
      return this.active === mutant;
    },
    tick() {
      turns += 1;
      if (turns % TURNS_BETWEEN_LOOKS === 0 && processorTimeUs() > this.endsAtUs) {
        throw new EndlessLoop('The time for this test has run out.');
      }
    },
  };
}

/** Of this process, so that a busy machine makes no test late. */
export function processorTimeUs(): number {
  const { user, system } = process.cpuUsage();
  return user + system;
}
