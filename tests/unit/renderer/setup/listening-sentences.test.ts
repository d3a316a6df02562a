import { describe, expect, it } from 'vitest';
import type { HeardField, Listening } from '../../../../shared-lib/amplifier/listening-model.ts';
import {
  describeMovement,
  heardSentence,
  isPushUseful,
  listeningSentence,
  percentWords,
  triedSentence,
} from '../../../../renderer/setup/listening/listening-sentences.ts';

const plain = (text: string) => text.replaceAll('\u202f', ' ');

const field: HeardField = {
  field: 0,
  newest: '1200',
  value: 1200,
  spreadNow: 12,
  spreadBefore: 10,
  guess: 'counts',
  reason: 'It varies.',
};
const listening: Listening = {
  state: 'listening',
  path: '/dev/ttyUSB0',
  baudRate: 115_200,
  triedBaudRates: [],
  lines: [],
  lineRateHz: 320.4,
  bytesHeard: 5000,
  fields: [field],
  proposals: [],
  problem: null,
};

describe('listening in sentences', () => {
  it('names the baud rate that is tried, or that none is tried yet', () => {
    expect(plain(listeningSentence({ ...listening, state: 'probing' }))).toBe(
      'Trying 115 200 Bd on /dev/ttyUSB0: at the right rate the bytes are text in lines.',
    );
    expect(listeningSentence({ ...listening, state: 'probing', baudRate: null })).toBe(
      'Opening /dev/ttyUSB0 to try the usual baud rates.',
    );
  });

  it('does not change what is spoken while only the line rate wanders', () => {
    expect(listeningSentence(listening)).toBe(listeningSentence({ ...listening, lineRateHz: 318 }));
    expect(plain(heardSentence(listening))).toBe('About 320 lines/s.');
  });

  it('tells silence from bytes that are no lines yet', () => {
    expect(heardSentence({ ...listening, bytesHeard: 0, lineRateHz: null })).toBe('Nothing has come yet.');
    expect(heardSentence({ ...listening, lineRateHz: null })).toBe('Bytes come in.');
  });

  it('asks for a push only where there are numbers to watch', () => {
    expect(isPushUseful(listening)).toBe(true);
    expect(isPushUseful({ ...listening, fields: [{ ...field, value: null }] })).toBe(false);
    expect(isPushUseful({ ...listening, state: 'probing' })).toBe(false);
  });

  it('says of a rate that was tried how much was readable, if anything came', () => {
    const tried = { baudRate: 9600, readableShare: 0.12, sentence: 'no text.' };
    expect(plain(triedSentence(tried))).toBe('9600 Bd, 12 % readable: no text.');
    expect(plain(triedSentence({ ...tried, readableShare: null }))).toBe('9600 Bd: no text.');
  });

  it('never calls a share that is not whole 100 %', () => {
    expect(plain(percentWords(0.9999))).toBe('99 %');
    expect(plain(percentWords(1))).toBe('100 %');
  });
});

describe('movement of a field', () => {
  it('is said once the newest spread is more than twice the one before', () => {
    expect(describeMovement({ ...field, spreadNow: 20 }).word).toBe('steady');
    expect(describeMovement({ ...field, spreadNow: 21 }).word).toBe('moves');
  });

  it('is not said without anything to compare with', () => {
    expect(describeMovement({ ...field, spreadNow: 500, spreadBefore: null })).toEqual({
      word: 'steady',
      nowShare: 1,
      beforeShare: null,
    });
  });

  it('shows both spreads on the scale of the larger', () => {
    expect(describeMovement({ ...field, spreadNow: 100, spreadBefore: 10 })).toMatchObject({
      nowShare: 1,
      beforeShare: 0.1,
    });
    expect(describeMovement({ ...field, spreadNow: 5, spreadBefore: 10 })).toMatchObject({
      nowShare: 0.5,
      beforeShare: 1,
    });
  });

  it('never takes a counter for the torque, nor a text for a number', () => {
    expect(describeMovement({ ...field, guess: 'sequence', spreadNow: 900 }).word).toBe('counts up');
    expect(describeMovement({ ...field, value: null }).word).toBe('no number');
  });

  it('draws nothing for what never changed', () => {
    expect(describeMovement({ ...field, spreadNow: 0, spreadBefore: 0 })).toEqual({
      word: 'steady',
      nowShare: 0,
      beforeShare: null,
    });
  });
});
