/** Marks a branch that the types exclude; the reason says what must be added when it is reached. */
export function assertNever(value: never, reason: string): never {
  throw new Error(`${reason}: ${JSON.stringify(value)}`);
}
