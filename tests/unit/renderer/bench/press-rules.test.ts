import { describe, expect, it } from 'vitest';
import {
  decidePress,
  DEBOUNCE_MS,
  HOLD_MS,
  holdFraction,
  INERT_AFTER_END_MS,
  initialPressState,
  type PressInput,
  type PressMeaning,
} from '../../../../renderer/bench/press-rules.ts';

const meaning = (to: PressMeaning, atMs = 0): PressInput => ({ type: 'meaningChanged', meaning: to, atMs });
const down = (key: string, atMs: number, change: Partial<PressInput> = {}): PressInput =>
  ({ type: 'keyDown', key, isRepeat: false, isElsewhere: false, atMs, ...change }) as PressInput;
const up = (key: string, atMs: number): PressInput => ({ type: 'keyUp', key, atMs });
const time = (atMs: number): PressInput => ({ type: 'timePassed', atMs });
const click = (atMs: number, isVirtual = false): PressInput => ({ type: 'clicked', isVirtual, atMs });

/** Plays the inputs and lists what came of them, with the time at which it did. */
function outcomesOf(inputs: readonly PressInput[]): string[] {
  const outcomes: string[] = [];
  let state = initialPressState;
  for (const input of inputs) {
    const decision = decidePress(state, input);
    state = decision.state;
    if (decision.outcome !== null) outcomes.push(`${decision.outcome} ${'atMs' in input ? input.atMs : ''}`);
  }
  return outcomes;
}

const rows: readonly { does: string; inputs: readonly PressInput[]; outcomes: readonly string[] }[] = [
  {
    does: 'presses once when Space goes down',
    inputs: [meaning('press'), down(' ', 1000), up(' ', 1100)],
    outcomes: ['press 1000'],
  },
  {
    does: 'presses with Enter, as some foot switches type',
    inputs: [meaning('press'), down('Enter', 1000)],
    outcomes: ['press 1000'],
  },
  {
    does: 'presses with Page Down, as other foot switches type',
    inputs: [meaning('press'), down('PageDown', 1000)],
    outcomes: ['press 1000'],
  },
  {
    does: 'ignores any other key',
    inputs: [meaning('press'), down('a', 1000), down('Escape', 2000)],
    outcomes: [],
  },
  {
    does: 'ignores key repeat, however long the key is held',
    inputs: [
      meaning('press'),
      down(' ', 1000),
      down(' ', 1500, { isRepeat: true }),
      down(' ', 2500, { isRepeat: true }),
    ],
    outcomes: ['press 1000'],
  },
  {
    does: 'ignores a contact that bounces after going down',
    inputs: [meaning('press'), down(' ', 1000), up(' ', 1020), down(' ', 1040)],
    outcomes: ['press 1000'],
  },
  {
    does: 'ignores a contact that bounces after coming up',
    inputs: [meaning('press'), down(' ', 1000), up(' ', 1400), down(' ', 1400 + DEBOUNCE_MS - 1)],
    outcomes: ['press 1000'],
  },
  {
    does: 'takes the next press when the contact has settled',
    inputs: [meaning('press'), down(' ', 1000), up(' ', 1100), down(' ', 1100 + DEBOUNCE_MS)],
    outcomes: ['press 1000', `press ${1100 + DEBOUNCE_MS}`],
  },
  {
    does: 'is inert while a field, a dialog or another control has the key',
    inputs: [
      meaning('press'),
      down(' ', 1000, { isElsewhere: true }),
      meaning('hold'),
      down('Escape', 2000, { isElsewhere: true }),
      time(3000),
    ],
    outcomes: [],
  },
  {
    does: 'does nothing where there is nothing to do',
    inputs: [meaning('none'), down(' ', 1000), click(2000)],
    outcomes: [],
  },
  {
    does: 'stops after a hold of Space, not before',
    inputs: [meaning('hold'), down(' ', 1000), time(1000 + HOLD_MS - 1), time(1000 + HOLD_MS)],
    outcomes: [`stop ${1000 + HOLD_MS}`],
  },
  {
    does: 'stops after a hold of Escape',
    inputs: [meaning('hold'), down('Escape', 1000), time(1000 + HOLD_MS)],
    outcomes: [`stop ${1000 + HOLD_MS}`],
  },
  {
    does: 'stops once per hold',
    inputs: [meaning('hold'), down(' ', 1000), time(1600), time(1700), time(2500)],
    outcomes: ['stop 1600'],
  },
  {
    does: 'does not stop when the key comes up early',
    inputs: [meaning('hold'), down(' ', 1000), up(' ', 1500), time(1700)],
    outcomes: [],
  },
  {
    does: 'does not let another key that comes up end the hold',
    inputs: [meaning('hold'), down(' ', 1000), up('Enter', 1300), time(1600)],
    outcomes: ['stop 1600'],
  },
  {
    does: 'does not stop when the window loses the focus during the hold',
    inputs: [meaning('hold'), down(' ', 1000), { type: 'focusLost' }, time(1700)],
    outcomes: [],
  },
  {
    does: 'never stops a trial by the press that started it',
    inputs: [meaning('press'), down(' ', 1000), meaning('hold', 1010), time(3000)],
    outcomes: ['press 1000'],
  },
  {
    does: 'drops a hold when the run ends by itself meanwhile',
    inputs: [meaning('hold'), down(' ', 1000), meaning('press', 1300), time(1700)],
    outcomes: [],
  },
  {
    does: 'does not start the next trial by a press that was meant to stop the last one',
    inputs: [meaning('hold'), meaning('press', 1000), down(' ', 1000 + INERT_AFTER_END_MS - 1)],
    outcomes: [],
  },
  {
    does: 'starts the next trial half a second after the last one ended',
    inputs: [meaning('hold'), meaning('press', 1000), down(' ', 1000 + INERT_AFTER_END_MS)],
    outcomes: [`press ${1000 + INERT_AFTER_END_MS}`],
  },
  {
    does: 'presses by a click, on release',
    inputs: [
      meaning('press'),
      { type: 'pointerDown', atMs: 1000 },
      { type: 'pointerUp', atMs: 1050 },
      click(1050),
    ],
    outcomes: ['press 1050'],
  },
  {
    does: 'stops by a pointer held on the control',
    inputs: [meaning('hold'), { type: 'pointerDown', atMs: 1000 }, time(1600)],
    outcomes: ['stop 1600'],
  },
  {
    does: 'does not stop by a pointer that is released early',
    inputs: [
      meaning('hold'),
      { type: 'pointerDown', atMs: 1000 },
      { type: 'pointerUp', atMs: 1300 },
      click(1300),
      time(1700),
    ],
    outcomes: [],
  },
  {
    does: 'does not start the next trial when a pointer that stopped one is released late',
    inputs: [
      meaning('hold'),
      { type: 'pointerDown', atMs: 1000 },
      time(1600),
      meaning('press', 1650),
      { type: 'pointerUp', atMs: 4000 },
      click(4000),
    ],
    outcomes: ['stop 1600'],
  },
  {
    does: 'stops by the single press of a screen reader, which cannot hold',
    inputs: [meaning('hold'), click(1000, true)],
    outcomes: ['stop 1000'],
  },
];

/** As the control goes through a run sheet: busy while the services answer, then the next thing is what a press means. */
const sheetRows: typeof rows = [
  {
    does: 'takes a setup up and starts its pull by two presses, each once',
    inputs: [
      meaning('press'),
      down(' ', 1000),
      meaning('none', 1001),
      up(' ', 1090),
      meaning('press', 1120),
      down(' ', 1600),
      meaning('none', 1601),
      meaning('hold', 1640),
    ],
    outcomes: ['press 1000', 'press 1600'],
  },
  {
    does: 'does not start a pull by the bounce of the foot switch that took the setup up',
    inputs: [
      meaning('press'),
      down('PageDown', 1000),
      meaning('none', 1001),
      up('PageDown', 1015),
      meaning('press', 1030),
      down('PageDown', 1040),
      up('PageDown', 1060),
      down('PageDown', 1060 + DEBOUNCE_MS - 1),
    ],
    outcomes: ['press 1000'],
  },
  {
    does: 'does not start a pull by a key that is held since the setup was taken up',
    inputs: [
      meaning('press'),
      down('Enter', 1000),
      meaning('none', 1001),
      meaning('press', 1030),
      down('Enter', 1500, { isRepeat: true }),
      down('Enter', 1530, { isRepeat: true }),
    ],
    outcomes: ['press 1000'],
  },
  {
    does: 'does not start a pull by the bounce of the mouse button that took the setup up',
    inputs: [
      meaning('press'),
      { type: 'pointerDown', atMs: 990 },
      { type: 'pointerUp', atMs: 1000 },
      click(1000),
      meaning('none', 1001),
      meaning('press', 1030),
      { type: 'pointerDown', atMs: 1050 },
      { type: 'pointerUp', atMs: 1060 },
      click(1060),
    ],
    outcomes: ['press 1000'],
  },
  {
    does: 'starts nothing while a setup rests, however often the pedal is pressed',
    inputs: [meaning('none'), down(' ', 1000), up(' ', 1300), down(' ', 2000), up(' ', 2300), click(3000)],
    outcomes: [],
  },
  {
    does: 'starts nothing when the rest ends under a key that is held',
    inputs: [
      meaning('none'),
      down(' ', 1000),
      meaning('press', 1500),
      down(' ', 1530, { isRepeat: true }),
      down(' ', 2500, { isRepeat: true }),
    ],
    outcomes: [],
  },
  {
    does: 'takes the next setup up only half a second after the pull before was over',
    inputs: [
      meaning('hold'),
      meaning('none', 1000),
      meaning('press', 1200),
      down(' ', 1000 + INERT_AFTER_END_MS - 1),
      down(' ', 2000),
    ],
    outcomes: ['press 2000'],
  },
  {
    does: 'answers no question by the pedal: what ended a run is asked for, and a press says nothing of it',
    inputs: [meaning('hold'), meaning('none', 1000), down(' ', 3000), up(' ', 3100), down('Enter', 4000)],
    outcomes: [],
  },
];

describe('decidePress', () => {
  it.each(sheetRows)('on a run sheet $does', ({ inputs, outcomes }) => {
    expect(outcomesOf(inputs)).toEqual(outcomes);
  });

  it.each(rows)('$does', ({ inputs, outcomes }) => {
    expect(outcomesOf(inputs)).toEqual(outcomes);
  });

  it('takes Space for itself even where it does nothing, so that the page does not scroll', () => {
    const { state } = decidePress(initialPressState, meaning('none'));
    expect(decidePress(state, down(' ', 1000)).isTaken).toBe(true);
    expect(decidePress(state, down('Escape', 1000)).isTaken).toBe(false);
    expect(decidePress(state, down(' ', 1000, { isElsewhere: true })).isTaken).toBe(false);
  });

  it('shows how far a hold has come', () => {
    const { state } = decidePress(decidePress(initialPressState, meaning('hold')).state, down(' ', 1000));
    expect([900, 1000, 1300, 1600, 9000].map((atMs) => holdFraction(state, atMs))).toEqual([0, 0, 0.5, 1, 1]);
    expect(holdFraction(initialPressState, 1000)).toBe(0);
  });
});
