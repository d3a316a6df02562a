import { describe, expect, it } from 'vitest';
import {
  handlingQuestion,
  type HandlingFacts,
} from '../../../../renderer/bench/handling/handling-question.ts';
import { putOffKey, readPutOffs } from '../../../../renderer/bench/handling/put-off.ts';
import { figureOf } from '../../../../renderer/bench/big-figure-words.ts';
import { torqueDisplay } from '../../../../renderer/ui/torque-display.ts';
import { demoFigures, demoStep, demoSummary, readyStatus } from '../../../helpers/scripted-bench.ts';
import { demoCatalogue, demoRating, demoTool } from '../../../helpers/scripted-catalogue.ts';
import { demoSetup } from '../../../helpers/scripted-sheet.ts';

const hollin = demoTool('tool-hollin', 'Hollin H5');
const place = (role: 'counted' | 'conditioning' | 'reference') => ({
  runSheetId: 's',
  entryId: 'e',
  index: 0,
  round: 1,
  repeat: 1,
  role,
});
const facts: HandlingFacts = {
  settings: { ratesHandlingBlind: true, operator: 'Demo operator' },
  summary: demoSummary('now', { setup: demoSetup, place: place('counted') }),
  catalogue: demoCatalogue([hollin]),
  shown: { toolId: 'tool-hollin', wereFiguresShown: false },
  isPutOff: () => false,
  isPutOffByAnyone: () => false,
};
const stateOf = (change: Partial<HandlingFacts>): string => handlingQuestion({ ...facts, ...change }).state;

describe('whether handling is asked for before the figures', () => {
  it('asks after a kept counted run of a tool that this operator has not rated', () => {
    expect(handlingQuestion(facts)).toEqual({
      state: 'asked',
      toolId: 'tool-hollin',
      toolName: 'Hollin H5',
      sessionId: 'demo-session',
      wereFiguresShown: false,
    });
    expect(stateOf({ summary: demoSummary('now', { setup: demoSetup, place: place('reference') }) })).toBe(
      'asked',
    );
  });

  it('asks nothing while it is off, and nobody without a name', () => {
    expect(stateOf({ settings: { ...facts.settings, ratesHandlingBlind: false } })).toBe('none');
    expect(stateOf({ settings: { ...facts.settings, operator: ' ' } })).toBe('none');
  });

  it('asks an operator who has rated, or said not now, no more; another one it does', () => {
    const rated = demoCatalogue([{ ...hollin, ratings: [demoRating('tool-hollin', 'demo Operator', 7)] }]);
    expect(stateOf({ catalogue: rated })).toBe('none');
    expect(stateOf({ catalogue: rated, settings: { ...facts.settings, operator: 'Second' } })).toBe('asked');
    expect(stateOf({ isPutOff: (toolId) => toolId === 'tool-hollin' })).toBe('none');
  });

  it('shows no figure before it knows whether to ask', () => {
    expect(stateOf({ summary: null })).toBe('unknown');
    expect(stateOf({ catalogue: null })).toBe('unknown');
    expect(stateOf({ shown: null })).toBe('unknown');
  });

  it('holds figures back after conditioning without a question, so that the rating can still be blind', () => {
    const summary = demoSummary('now', { setup: demoSetup, place: place('conditioning') });
    expect(stateOf({ summary })).toBe('later');
  });

  it('does not call a rating blind by itself where figures of the tool were shown before', () => {
    const shown = { toolId: 'tool-hollin', wereFiguresShown: true };
    expect(handlingQuestion({ ...facts, shown })).toMatchObject({ wereFiguresShown: true });
  });

  it('nor where those in sight were shown to another operator, who had rated or said not now', () => {
    expect(handlingQuestion({ ...facts, isPutOffByAnyone: (id) => id === 'tool-hollin' })).toMatchObject({
      wereFiguresShown: true,
    });
    const ratedAt = (at: string) =>
      demoCatalogue([{ ...hollin, ratings: [{ ...demoRating('tool-hollin', 'Second', 7), at }] }]);
    const pulledAt = Date.parse(facts.summary?.startedAt ?? '');
    const asked = (byMs: number) =>
      handlingQuestion({ ...facts, catalogue: ratedAt(new Date(pulledAt + byMs).toISOString()) });
    expect(asked(60_000)).toMatchObject({ state: 'asked', wereFiguresShown: true });
    expect(asked(-60_000)).toMatchObject({ state: 'asked', wereFiguresShown: false });
  });

  it('finds who said not now by session and tool, whoever it was', () => {
    const putOffs = readPutOffs(`${putOffKey('today', ' Ada ', 'tool/1')}\n`);
    expect(putOffs.has(putOffKey('today', 'ada', 'tool/1'))).toBe(true);
    expect(putOffs.has(putOffKey('today', 'Ben', 'tool/1'))).toBe(false);
    expect(putOffs.hasOfAnyone('today', 'tool/1')).toBe(true);
    expect(putOffs.hasOfAnyone('today', 'tool/2')).toBe(false);
    expect(putOffs.hasOfAnyone('yesterday', 'tool/1')).toBe(false);
    expect(readPutOffs('').hasOfAnyone('', '')).toBe(false);
  });

  it('asks for the tool that the services find, put away or not, and nothing where they find none', () => {
    const away = demoTool('tool-away', 'Hollin H5', { tool: { isArchived: true } });
    const summary = demoSummary('now');
    const shown = { toolId: 'tool-away', wereFiguresShown: false };
    const asked = handlingQuestion({ ...facts, summary, shown, catalogue: demoCatalogue([hollin, away]) });
    expect(asked).toMatchObject({ state: 'asked', toolId: 'tool-away' });
    expect(stateOf({ summary, shown: { ...shown, toolId: null } })).toBe('none');
  });

  it('holds figures back while the list does not have the tool yet', () => {
    expect(stateOf({ catalogue: demoCatalogue([]) })).toBe('unknown');
  });
});

describe('the big figure', () => {
  it('shows no result while it is held back', () => {
    const status = {
      ...readyStatus,
      trial: { phase: 'kept', step: demoStep, trialId: 't', isVoided: false, figures: demoFigures } as const,
    };
    const display = torqueDisplay('Nm', readyStatus);
    expect(figureOf(status, null, display).digits).toBe('512');
    expect(figureOf(status, null, display, true)).toMatchObject({
      digits: '–',
      caption: 'shown after the rating',
    });
  });
});
