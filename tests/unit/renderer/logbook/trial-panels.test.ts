import { describe, expect, it } from 'vitest';
import { THIN_SPACE } from '../../../../shared-lib/format-quantity.ts';
import type { FaultEvent, TrialFigures } from '../../../../shared-lib/trial/trial-model.ts';
import { figureAsText, figuresAsTable } from '../../../../renderer/logbook/copying/copy-figures.ts';
import { figureGroups, figureRows } from '../../../../shared-lib/trial/words/figure-rows.ts';
import { momentsOf, timeLineOf } from '../../../../renderer/logbook/trial/moments.ts';
import {
  changedSince,
  isSameNote,
  MOST_TAGS,
  storedNote,
  suggestedTags,
  withTag,
} from '../../../../renderer/logbook/trial/note-draft.ts';
import { NO_SETUP, readRelabelForm, setupOptions } from '../../../../renderer/logbook/trial/relabel-form.ts';
import { describeSetup } from '../../../../shared-lib/run-sheet/describe-entry.ts';
import { preparationRows, setupRows } from '../../../../shared-lib/trial/words/setup-rows.ts';
import {
  AS_READ,
  nothingAssumed,
  readWhatIfForm,
  withWhatIfUnitNamed,
} from '../../../../renderer/logbook/trial/what-if-form.ts';
import { whatIfRows } from '../../../../renderer/logbook/trial/what-if-rows.ts';
import { quantityReader } from '../../../../renderer/ui/read-quantity.ts';
import { torqueDisplay } from '../../../../renderer/ui/torque-display.ts';
import { demoFigures, demoRecord, demoSetup, demoSummary } from './trial-samples.ts';

const plain = (text: string) => text.replaceAll(THIN_SPACE, ' ');
const torque = torqueDisplay('Nm', null);
const rowOf = (figures: TrialFigures, name: string, display = torque) => {
  const row = figureRows(figures, display).find((found) => plain(found.name) === name);
  if (row === undefined) throw new Error(`There is no row ${name}.`);
  return { ...row, value: plain(row.value), uncertainty: row.uncertainty && plain(row.uncertainty) };
};

describe('figures with what is known of their uncertainty', () => {
  it('show a standard error to one more digit, and an interval in the digits of the value', () => {
    const figures: TrialFigures = {
      ...demoFigures,
      finalTorqueNm: { value: 405.6, standardError: 1.23 },
      stillClimbingPercentPerS: { value: 0.42, interval: { low: 0.111, high: 0.744 } },
    };
    expect(rowOf(figures, 'Final torque')).toMatchObject({
      value: '406 N·m',
      uncertainty: 'standard error 1.2 N·m',
    });
    expect(rowOf(figures, 'Still climbing')).toMatchObject({
      value: '0.42 %/s',
      uncertainty: '95 %: 0.11 to 0.74 %/s',
    });
    expect(rowOf(figures, 'Sustained torque').uncertainty).toBeNull();
  });

  it('say whether and since when the torque has levelled off', () => {
    const climbing = { ...demoFigures, stillClimbingPercentPerS: { value: 4.2 } };
    expect(rowOf(climbing, 'Levelled off').value).toBe('no');
    const level = { ...climbing, stillClimbingPercentPerS: { value: 0.3 }, levelledOffSinceS: 3.21 };
    expect(rowOf(level, 'Levelled off since').value).toBe('3.21 s');
    expect(rowOf({ ...climbing, stillClimbingPercentPerS: { value: -3 } }, 'Still climbing').hint).toContain(
      'the torque was falling',
    );
  });

  it('say why there is none, and say nothing of levelling off then', () => {
    const refused = { ...demoFigures, stillClimbingPercentPerS: { refused: 'Too short.' } };
    expect(rowOf(refused, 'Still climbing')).toMatchObject({
      value: 'no figure',
      hint: 'Too short.',
      isRefused: true,
    });
    expect(figureRows(refused, torque).some(({ name }) => name.startsWith('Levelled'))).toBe(false);
  });

  it('are in the chosen unit down to impulse and rise', () => {
    const figures = { ...demoFigures, impulseNms: { value: 1355.818 }, riseNmPerS: { value: 135.5818 } };
    // 1 ft·lbf = 1.3558179483314004 N·m (NIST SP 811).
    const inFeet = torqueDisplay('ftLbf', null);
    expect(rowOf(figures, 'Impulse', inFeet).value).toBe('1000.0 ft·lbf·s');
    expect(rowOf(figures, 'Rise', inFeet).value).toBe('100.0 ft·lbf/s');
  });

  it('give the rise model two rows, or one refusal', () => {
    const riseModel = { torqueNm: 521.4, timeConstantS: 1.123, torqueStandardErrorNm: 1.84 };
    const figures = { ...demoFigures, riseModel };
    expect(rowOf(figures, 'Rise model, T∞')).toMatchObject({
      value: '521 N·m',
      uncertainty: 'standard error 1.8 N·m',
    });
    expect(rowOf(figures, 'Rise model, τ').value).toBe('1.12 s');
    expect(rowOf(demoFigures, 'Rise model').isRefused).toBe(true);
  });

  it('stand under headings, with what is for study apart from results', () => {
    const groups = figureGroups(figureRows(demoFigures, torque));
    expect(groups.map(({ group }) => group)).toEqual([
      'Result',
      'Over time',
      'For study only',
      'What they rest on',
    ]);
    expect(groups[2]?.rows[0]?.name).toMatch(/^Highest reading at/);
  });
});

describe('figures of a kind', () => {
  it('begin with the stall torque of a driver', () => {
    const figures = { ...demoFigures, stallTorqueNm: { value: 88.4 } };
    expect(figureRows(figures, torque)[0]).toMatchObject({ name: 'Stall torque' });
    expect(rowOf(figures, 'Stall torque').value).toBe('88 N·m');
  });

  it('say when a preload was released, that it was not, or why that cannot be said', () => {
    const released = { ...demoFigures, breakaway: { preloadNm: 300, releasedAtS: 0.42 } };
    expect(rowOf(released, 'Released after').value).toBe('0.42 s');
    expect(rowOf(released, 'Preload before onset').value).toBe('300 N·m');
    expect(
      rowOf({ ...demoFigures, breakaway: { preloadNm: 300, releasedAtS: null } }, 'Released').value,
    ).toBe('not released');
    expect(
      rowOf({ ...demoFigures, breakaway: { refused: 'No preload stood.' } }, 'Released after'),
    ).toMatchObject({
      isRefused: true,
      hint: 'No preload stood.',
    });
  });

  it('show how the torque fades over a charge', () => {
    const endurance = {
      firstNm: 400,
      lastNm: 300,
      fadePercent: 25,
      fadePercentPerMin: 1.25,
      under80PercentS: null,
      pulledS: 1200,
    };
    const figures = { ...demoFigures, endurance };
    expect(rowOf(figures, 'Fade').value).toBe('25.0 %');
    expect(rowOf(figures, 'Under 80 % of the first for good').value).toBe('it did not fall so far');
    expect(rowOf(figures, 'Pulled for').value).toBe('20 min 00 s');
  });
});

describe('copied figures', () => {
  it('are one value with its unit, in ordinary characters', () => {
    const row = figureRows({ ...demoFigures, sustainedTorqueNm: { value: -12_345.6 } }, torque)[0];
    expect(figureAsText(row!)).toBe('-12 346 N·m');
  });

  it('are a table with the trial, its marks and what the torque rests on above', () => {
    const figures = { ...demoFigures, finalTorqueNm: { value: 405.6, standardError: 1.23 } };
    const text = figuresAsTable({ ...demoSummary, isVoided: true }, figureRows(figures, torque), 'Static.');
    const lines = text.split('\r\n').map((line) => line.split('\t'));
    expect(lines).toContainEqual(['Trial', 'demo-1, voided, simulated']);
    expect(lines).toContainEqual(['Torque', 'Static.']);
    expect(lines).toContainEqual(['Final torque', '406', 'N·m', '1.2', '', '', '']);
    expect(lines).toContainEqual(['Torque at 5 s', '', '', '', '', '', 'The record ends before 5 s.']);
  });
});

describe('what if', () => {
  const assumed: TrialFigures = {
    ...demoFigures,
    sustainedTorqueNm: { value: 453.57 },
    torqueAt: [{ atS: 1, torqueNm: { value: 390 } }],
    quality: { verdict: 'look', reasons: [] },
  };
  const rows = whatIfRows(demoFigures, assumed, torque);
  const row = (name: string) => rows.find((found) => plain(found.name) === name)!;

  it('stands beside what is stored, with the difference in amount and share', () => {
    const { stored, assumed: then, difference, isChanged } = row('Sustained torque');
    // 453.57 - 412.34 = 41.23, a tenth of 412.3.
    expect([stored, then, difference].map(plain)).toEqual(['412 N·m', '454 N·m', '+41 N·m, +10.0 %']);
    expect(isChanged).toBe(true);
  });

  it('marks what stays, and what only one of both has', () => {
    expect(row('Torque at 1 s')).toMatchObject({ difference: '–', isChanged: false });
    expect(row('Torque at 5 s')).toMatchObject({
      stored: 'no figure',
      assumed: 'no figure',
      isChanged: false,
    });
    expect(row('Quality')).toMatchObject({ stored: 'Good', assumed: 'Needs a look', isChanged: true });
  });

  const readTorque = quantityReader({ kind: 'torque', unit: 'Nm', min: 0, max: 1e6, isMinExcluded: true });
  const readTime = quantityReader({ kind: 'duration', unit: 'ms', min: 0.005, max: 2 });

  it('is asked for only where something is assumed that can be read', () => {
    expect(readWhatIfForm(nothingAssumed, readTorque, readTime)).toBeNull();
    expect(readWhatIfForm({ ...nothingAssumed, onsetLevel: 'twenty' }, readTorque, readTime)).toBeNull();
    expect(readWhatIfForm({ ...nothingAssumed, window: '3 s' }, readTorque, readTime)).toBeNull();
    expect(
      readWhatIfForm({ calibrationKey: 'other', onsetLevel: '20', window: '50 ms' }, readTorque, readTime),
    ).toEqual({ calibrationId: 'other', onsetLevelNm: 20, windowS: 0.05 });
    expect(
      readWhatIfForm({ ...nothingAssumed, calibrationKey: AS_READ, window: '250' }, readTorque, readTime),
    ).toEqual({ calibrationId: null, onsetLevelNm: null, windowS: 0.25 });
  });

  it('assumes the same onset level after the unit of torque was switched', () => {
    const form = withWhatIfUnitNamed({ ...nothingAssumed, onsetLevel: '20' }, 'ftLbf');
    const assumed = readWhatIfForm(form, readTorque, readTime);
    expect(assumed?.onsetLevelNm).toBeCloseTo(27.116, 3);
  });
});

describe('note and tags', () => {
  it('ask which stays where another window has stored what is being typed over, and only then', () => {
    const before = { note: 'a', tags: ['x'] };
    expect(changedSince({ note: 'mine' }, before, before)).toEqual([]);
    expect(changedSince({ note: 'mine' }, before, { note: 'theirs', tags: ['x'] })).toEqual(['note']);
    expect(changedSince({ note: 'theirs ' }, before, { note: 'theirs', tags: ['x'] })).toEqual([]);
    expect(changedSince({ note: 'mine' }, before, { note: 'a', tags: ['y'] })).toEqual([]);
    expect(changedSince({ note: 'mine', tags: [] }, before, { note: '', tags: ['y'] })).toEqual([
      'note',
      'tags',
    ]);
  });

  it('are the newest that was stored', () => {
    const by = { operator: '', at: '2026-03-04T10:00:00.000Z' };
    expect(storedNote([])).toEqual({ note: '', tags: [] });
    expect(
      storedNote([
        { note: 'a', tags: ['x'], ...by },
        { note: 'b', tags: [], ...by },
      ]),
    ).toMatchObject({ note: 'b', tags: [] });
    expect(isSameNote({ note: 'a ', tags: ['x'] }, { note: 'a', tags: ['x'] })).toBe(true);
    expect(isSameNote({ note: 'a', tags: ['x', 'y'] }, { note: 'a', tags: ['y', 'x'] })).toBe(false);
  });

  it('take a tag once, in any case of letters, and no more than fit', () => {
    expect(withTag(['cold pack'], '  new   anvil ')).toEqual(['cold pack', 'new anvil']);
    expect(withTag(['cold pack'], 'Cold Pack')).toEqual(['cold pack']);
    expect(withTag([], '  ')).toEqual([]);
    const full = Array.from({ length: MOST_TAGS }, (_, index) => `tag ${index}`);
    expect(withTag(full, 'one more')).toBe(full);
  });

  it('suggest the most used tags that go on with what was typed', () => {
    const known = [
      { tag: 'cold pack', count: 3 },
      { tag: 'Packed rig', count: 9 },
      { tag: 'publish', count: 20 },
    ];
    expect(suggestedTags(known, [], 'pack')).toEqual(['Packed rig', 'cold pack']);
    expect(suggestedTags(known, ['COLD PACK'], '')).toEqual(['publish', 'Packed rig']);
  });
});

describe('putting the tool or setup right', () => {
  const tool = {
    id: 'tool-1',
    name: 'Hollin H5',
    supply: 'battery',
    declaredVibrationMps2: null,
    declaredNoiseDbA: null,
    isArchived: false,
  } as const;
  const setup = { toolId: 'tool-1', packId: null, setting: '', socket: null };
  const items = {
    tools: [tool],
    packs: [],
    setups: [
      { ...setup, id: 'old', setting: 'mode 1', isArchived: true },
      { ...setup, id: 'new', setting: 'mode 3', isArchived: false },
      { ...setup, id: 'lost', toolId: 'gone', isArchived: false },
    ],
  };
  const options = setupOptions(items, null);

  it('offers every setup that can still be named, archived ones last', () => {
    expect(options.map(({ label }) => label)).toEqual(['Hollin H5, mode 3', 'Hollin H5, mode 1 (archived)']);
  });

  it('offers the setup that the trial has first where this bench has none of it, and keeps it under any name', () => {
    const own = { ...demoSetup, setupId: 'elsewhere', toolName: 'Holin H5', packName: 'Pack 1' };
    const withOwn = setupOptions(items, own);
    expect(withOwn.map(({ key, label }) => [key, label])).toEqual([
      ['elsewhere', `${describeSetup(own)} (not on this bench)`],
      ...options.map(({ key, label }) => [key, label]),
    ]);
    const form = { setupKey: 'elsewhere', toolName: ' Hollin H5 ', reason: 'spelling' };
    expect(readRelabelForm(form, withOwn)).toEqual({
      toolName: 'Hollin H5',
      setupId: 'elsewhere',
      reason: 'spelling',
    });
    expect(readRelabelForm({ ...form, toolName: ' ' }, withOwn)).toHaveProperty('missing');
    // One that the list has stands there once, under the tool that it says.
    expect(setupOptions(items, { ...own, setupId: 'new' })).toEqual(options);
  });

  it('takes the tool of the setup, or the name alone, and never goes without a reason', () => {
    const form = { setupKey: 'new', toolName: 'Typed before', reason: 'mixed up' };
    expect(readRelabelForm(form, options)).toEqual({
      toolName: 'Hollin H5',
      setupId: 'new',
      reason: 'mixed up',
    });
    expect(readRelabelForm({ ...form, setupKey: NO_SETUP }, options)).toMatchObject({
      toolName: 'Typed before',
      setupId: null,
    });
    expect(readRelabelForm({ ...form, reason: ' x ' }, options)).toHaveProperty('missing');
    expect(readRelabelForm({ ...form, setupKey: NO_SETUP, toolName: ' ' }, options)).toHaveProperty(
      'missing',
    );
  });
});

describe('what was tested', () => {
  const rowsOf = (rows: readonly { readonly name: string; readonly value: string }[]) =>
    Object.fromEntries(rows.map(({ name, value }) => [name, plain(value)]));

  it('is tool, setup and step as they are known now, and what they were called at first where that was put right', () => {
    const record = {
      ...demoRecord,
      summary: { ...demoSummary, setup: { ...demoSetup, packName: 'pack 3' } },
      conditions: { ...demoRecord.conditions, setup: demoSetup },
      relabellings: [{ toolName: 'Hollin H5', setup: null, reason: 'x', operator: '', at: '' }],
    };
    expect(rowsOf(setupRows(record, torque.format))).toMatchObject({
      Tool: 'Hollin H5',
      Pack: 'pack 3, 5.0 Ah',
      Socket: 'impact socket 24, 0.31 kg, 78 mm',
      'Declared noise': '101 dB(A)',
      'Named at first': 'Hollin H5, pack 2, mode 3, impact socket 24',
    });
    expect(rowsOf(setupRows({ ...record, relabellings: [] }, torque.format))).not.toHaveProperty(
      'Named at first',
    );
  });

  it('says what was found then and what nobody read anew, and leaves out what nobody asked', () => {
    const conditions = {
      ...demoRecord.conditions,
      place: { runSheetId: 's', entryId: 'e', index: 4, round: 2, repeat: 1, role: 'counted' } as const,
      restedS: 61,
      plannedRestS: 90,
      preparation: {
        packRestedV: 20.41,
        packTemperatureC: null,
        toolTemperatureC: 31,
        fastener: 'M16 fixture bolt',
        fastenerPullsSinceNew: 0,
        lubricant: null,
        inletPressureKpa: 620,
        hoseBoreMm: 10,
        isCarriedOver: true,
      },
    };
    expect(rowsOf(preparationRows(conditions))).toEqual({
      'Place in the sheet': 'pull 5, round 2, counted',
      'Rest before': '61 s, 90 s planned: cut short',
      'Pack at rest': '20.41 V',
      'Tool temperature': '31 °C',
      Fastener: 'M16 fixture bolt',
      'Its pulls before': '0',
      'Inlet pressure': '620 kPa',
      'Hose bore': '10.0 mm',
      'These were': 'carried over unchanged, not read anew',
    });
    expect(preparationRows(demoRecord.conditions)).toEqual([]);
  });
});

describe('events of a trial', () => {
  const fault: FaultEvent = { kind: 'rail', at: '', atS: 1.5, count: 2, sentence: 'At the rail.' };
  const levels = (levelNm: number) => `${levelNm} N·m`;

  it('are the course of the run and the faults in one order of time', () => {
    const entries = timeLineOf({ ...demoRecord, faults: [fault, { ...fault, atS: null }] }, -1, levels);
    expect(
      entries.map((entry) => ('moment' in entry ? entry.moment.sentence : `fault ${entry.number}`)),
    ).toEqual([
      'Onset: the measuring curve passed its level and held it.',
      '300 N·m reached and held.',
      'fault 1',
      expect.stringContaining('of the sustained torque reached and held.'),
      'End of the planned time; the tail follows.',
      'fault 2',
    ]);
  });

  it('give nothing away that follows from hidden figures', () => {
    const moments = momentsOf({ ...demoRecord, figures: null }, levels);
    expect(moments.map(({ label }) => label)).toEqual(['onset', 'planned end']);
  });

  it('mark where a preload was released and where a torque levelled off', () => {
    const figures = { ...demoFigures, levelledOffSinceS: 3, breakaway: { preloadNm: 300, releasedAtS: 0.4 } };
    expect(momentsOf({ ...demoRecord, figures }, levels).map(({ label }) => label)).toEqual([
      'onset',
      'released',
      null,
      null,
      'levelled off',
      'planned end',
    ]);
  });
});
