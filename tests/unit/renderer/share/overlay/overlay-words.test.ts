import { describe, expect, it } from 'vitest';
import {
  afterWords,
  readDelay,
  readPort,
  stateWords,
} from '../../../../../renderer/share/overlay/overlay-words.ts';
import type { OverlayState } from '../../../../../shared-lib/overlay/overlay-model.ts';

const on: OverlayState = {
  settings: { isOn: true, port: 47180, layout: 'curve', theme: 'panel', delayMs: 0 },
  url: 'http://127.0.0.1:47180/#token=x',
  problem: null,
  viewerCount: 0,
  shows: 'live',
};

describe('the words of the overlay', () => {
  it('say how long after a mark an onset was, to the millisecond and as an editing program counts', () => {
    expect(afterWords(3.2504)).toBe('+\u202f3.250\u202fs');
    expect(afterWords(-0.5)).toBe('\u22120.500\u202fs'.replace('\u22120', '\u2212\u202f0'));
    expect(afterWords(125.1234)).toBe('+\u202f125.123\u202fs (2:05.123)');
    expect(afterWords(59.9996)).toBe('+\u202f60.000\u202fs (1:00.000)');
  });

  it('take a delay in milliseconds or seconds, and name the range where it is none', () => {
    expect(readDelay('120')).toEqual({ value: 120, shown: '120\u202fms' });
    expect(readDelay('0,25 s')).toMatchObject({ value: 250 });
    expect(readDelay('6 s')).toEqual({ problem: 'The delay may be from 0 to 5000\u202fms.' });
    expect(readDelay('-1')).toHaveProperty('problem');
  });

  it('take a port above those of the system', () => {
    expect(readPort('47180')).toMatchObject({ value: 47180 });
    expect(readPort('80')).toHaveProperty('problem');
    expect(readPort('70000')).toHaveProperty('problem');
  });

  it('say who sees it', () => {
    expect(stateWords(on)).toBe('On. No page shows it yet.');
    expect(stateWords({ ...on, viewerCount: 2, shows: 'replay' })).toBe(
      'On. 2 pages show it, a replay just now.',
    );
    expect(stateWords({ ...on, url: null })).toBe('On, but it could not be served.');
    expect(stateWords({ ...on, settings: { ...on.settings, isOn: false } })).toMatch(/^Off/);
  });
});
