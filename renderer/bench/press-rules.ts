/**
 * When a key, a pedal or a pointer counts as a press of the Bench's one primary control.
 *
 * A foot switch is a keyboard to the computer: those that type Space, Enter or Page Down work as they come.
 * - A press counts when the key goes down, once, however long it is held; key repeat is ignored.
 * - Within 150 ms of the last edge of a key, or of the last click, nothing counts: contacts bounce.
 * - Stopping takes a hold of 0.6 s, which must begin while there is something to stop: the press that started a trial
 *   never stops it. Escape stops as well, and does nothing else.
 * - When a run has just ended by itself, a press meant to stop it must not start the next one: half a second is inert.
 * - Keys are inert while a field, a dialog or another control has them.
 */
export const PRIMARY_KEYS: readonly string[] = [' ', 'Enter', 'PageDown'];
export const STOP_KEY = 'Escape';
export const DEBOUNCE_MS = 150;
export const HOLD_MS = 600;
export const INERT_AFTER_END_MS = 500;

/** What the primary control stands for: a single press, a hold, or nothing. */
export type PressMeaning = 'press' | 'hold' | 'none';

/** `heldBy` is the key (or the pointer) whose hold is being timed. */
export interface PressState {
  readonly meaning: PressMeaning;
  readonly inertUntilMs: number;
  readonly lastEdgeMs: number;
  readonly hold: { readonly heldBy: string; readonly sinceMs: number } | null;
  /** What the control stood for when the pointer went down on it: a hold that is over is no click. */
  readonly pointerBeganAs: PressMeaning | null;
}

export type PressInput =
  | { readonly type: 'meaningChanged'; readonly meaning: PressMeaning; readonly atMs: number }
  | {
      readonly type: 'keyDown';
      readonly key: string;
      readonly isRepeat: boolean;
      /** A field, a dialog or another control reached by keyboard has the key. */
      readonly isElsewhere: boolean;
      readonly atMs: number;
    }
  | { readonly type: 'keyUp'; readonly key: string; readonly atMs: number }
  | { readonly type: 'pointerDown'; readonly atMs: number }
  | { readonly type: 'pointerUp'; readonly atMs: number }
  /** Down and up inside the control; `isVirtual`: by a screen reader, which cannot hold. */
  | { readonly type: 'clicked'; readonly isVirtual: boolean; readonly atMs: number }
  | { readonly type: 'timePassed'; readonly atMs: number }
  | { readonly type: 'focusLost' };

export interface PressDecision {
  readonly state: PressState;
  readonly outcome: 'press' | 'stop' | null;
  /** The event is the primary control's and goes no further. */
  readonly isTaken: boolean;
}

const POINTER = 'pointer';

export const initialPressState: PressState = {
  meaning: 'none',
  inertUntilMs: Number.NEGATIVE_INFINITY,
  lastEdgeMs: Number.NEGATIVE_INFINITY,
  hold: null,
  pointerBeganAs: null,
};

export function decidePress(state: PressState, input: PressInput): PressDecision {
  switch (input.type) {
    case 'meaningChanged':
      return nothing(changeMeaning(state, input.meaning, input.atMs));
    case 'keyDown':
      return onKeyDown(state, input);
    case 'keyUp':
      return onKeyUp(state, input.key, input.atMs);
    case 'pointerDown':
      return nothing(onPointerDown(state, input.atMs));
    case 'pointerUp':
      return state.hold?.heldBy === POINTER ? nothing({ ...state, hold: null }) : nothing(state);
    case 'clicked':
      return onClicked(state, input.isVirtual, input.atMs);
    case 'timePassed':
      return holdFraction(state, input.atMs) < 1
        ? nothing(state)
        : { state: { ...state, hold: null }, outcome: 'stop', isTaken: false };
    case 'focusLost':
      return nothing({ ...state, hold: null });
  }
}

/** How much of the hold has passed, 0 to 1; 0 while nothing is held. */
export function holdFraction({ hold }: PressState, atMs: number): number {
  return hold === null ? 0 : Math.min(Math.max((atMs - hold.sinceMs) / HOLD_MS, 0), 1);
}

function nothing(state: PressState, isTaken = false): PressDecision {
  return { state, outcome: null, isTaken };
}

function changeMeaning(state: PressState, meaning: PressMeaning, atMs: number): PressState {
  if (meaning === state.meaning) return state;
  const hasEnded = state.meaning === 'hold';
  return {
    ...state,
    meaning,
    hold: null,
    inertUntilMs: hasEnded ? atMs + INERT_AFTER_END_MS : state.inertUntilMs,
  };
}

function beginHold(state: PressState, heldBy: string, atMs: number): PressState {
  return { ...state, hold: { heldBy, sinceMs: atMs } };
}

function onKeyDown(
  state: PressState,
  { key, isRepeat, isElsewhere, atMs }: Extract<PressInput, { type: 'keyDown' }>,
): PressDecision {
  const isPrimary = PRIMARY_KEYS.includes(key);
  const isStop = key === STOP_KEY && state.meaning === 'hold';
  if (isElsewhere || !(isPrimary || isStop)) return nothing(state);
  // From here on the key is the primary control's, even where it does nothing: Space must not scroll the page.
  const isBounce = atMs - state.lastEdgeMs < DEBOUNCE_MS;
  if (isRepeat) return nothing(state, true);
  const edged = { ...state, lastEdgeMs: atMs };
  if (isBounce || state.meaning === 'none') return nothing(edged, true);
  if (state.meaning === 'hold') return nothing(beginHold(edged, key, atMs), true);
  return { state: edged, outcome: atMs < state.inertUntilMs ? null : 'press', isTaken: true };
}

function onKeyUp(state: PressState, key: string, atMs: number): PressDecision {
  if (!PRIMARY_KEYS.includes(key) && key !== STOP_KEY) return nothing(state);
  const hold = state.hold?.heldBy === key ? null : state.hold;
  return nothing({ ...state, lastEdgeMs: atMs, hold });
}

function onPointerDown(state: PressState, atMs: number): PressState {
  const began = { ...state, pointerBeganAs: state.meaning };
  return state.meaning === 'hold' ? beginHold(began, POINTER, atMs) : began;
}

function onClicked(state: PressState, isVirtual: boolean, atMs: number): PressDecision {
  const hasBegunAsPress = isVirtual || state.pointerBeganAs === 'press';
  // A switch on a mouse bounces like any other, and the press it doubled may mean another thing by now.
  const isBounce = atMs - state.lastEdgeMs < DEBOUNCE_MS;
  const released = { ...state, pointerBeganAs: null, lastEdgeMs: atMs };
  if (state.meaning === 'press' && hasBegunAsPress && !isBounce && atMs >= state.inertUntilMs) {
    return { state: released, outcome: 'press', isTaken: true };
  }
  if (state.meaning === 'hold' && isVirtual) {
    return { state: { ...released, hold: null }, outcome: 'stop', isTaken: true };
  }
  return nothing(released, true);
}
