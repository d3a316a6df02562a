import { useState } from 'react';

/** What was typed while `unit` was the one that a number without a unit takes. */
export interface TypedInUnit<Typed, Unit> {
  readonly typed: Typed;
  readonly unit: Unit;
}

/** The same after a switch of the unit; `named` puts a unit behind the numbers that were typed without one. */
export function typedFor<Typed, Unit>(
  { typed, unit }: TypedInUnit<Typed, Unit>,
  shownUnit: Unit,
  named: (typed: Typed, unit: Unit) => Typed,
): Typed {
  return unit === shownUnit ? typed : named(typed, unit);
}

/**
 * State of what was typed where a number without a unit takes the one that is shown. The unit can be switched at any time, by a key or in
 * another window: what stands there then goes on meaning what it meant, with its unit behind it.
 */
export function useTypedInUnit<Typed, Unit>(
  start: Typed,
  unit: Unit,
  named: (typed: Typed, unit: Unit) => Typed,
): readonly [Typed, (next: (before: Typed) => Typed) => void] {
  const [held, setHeld] = useState<TypedInUnit<Typed, Unit>>({ typed: start, unit });
  const write = (next: (before: Typed) => Typed) =>
    setHeld((before) => ({ typed: next(typedFor(before, unit, named)), unit }));
  return [typedFor(held, unit, named), write];
}
